package cli

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/study/roomair"
	"winnow/internal/study/verdict"
	"winnow/internal/unit"
)

func airCommand(e *env) *cobra.Command {
	var why bool
	cmd := &cobra.Command{
		Use:   "air [FILE]",
		Short: "what stays in the air of the room, what you breathe, and what helps most",
		Long: `air reads a shop file and says what of the dust stays in the room on a usual day, what helps most,
for which tasks the mask belongs on, and how long others stay out and the air cleaner runs.
It leads with how much less you breathe for an act, as most of the doubt cancels in that. Levels are good to a factor of
five; no limit is ever shown to be kept.`,
		Example: "  winnow air shop.yaml\n  winnow air shop.yaml --why\n  winnow air shop.yaml --json",
		Args:    theFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := loadShop(e, fileOf(args))
			if err != nil {
				return err
			}
			a := verdict.Air(cmd.Context(), o.shop, doubt.Prior(), o.doc.Try)
			if e.json {
				err = wire.Write(e.out, wire.Envelope{Shape: "air/1", Winnow: Version, Answer: wire.AirOf(o.shop.Name, a, o.units, o.at)})
			} else {
				printAir(e, o, a, why)
			}
			if err != nil {
				return err
			}
			for _, f := range a.Findings {
				if f.Code.Severity == shop.Problem {
					return failing
				}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&why, "why", false, "the cautions that hold in any shop too, and what is not known of the method")
	return cmd
}

func printAir(e *env, o *opened, a roomair.Answer, why bool) {
	fmt.Fprintf(e.out, "%s: the air of a usual day, %s\n\n", cmp.Or(o.shop.Name, o.path), count(a.Days, "day")+" a week")
	fmt.Fprintf(e.out, "%s\n\n", wire.Plain(wire.AirOf("", a, o.units, o.at).Sentence))
	printHelps(e, o, a)
	printMasks(e, a)
	printMasksRest(e, a)
	printWaits(e, o, a)
	printTasks(e, o, a)
	printBeside(e, a)
	printFilters(e, a)
	printOutdoors(e, o, a)
	printAverages(e, o, a)
	printAirFindings(e, o, a, why)
	printAirNotLookedAt(e, o)
}

// printAirFindings prints what wants an act in full, what this shop's own data bring up as its sentence, and what holds in
// any shop as one line, or in full too when asked why.
func printAirFindings(e *env, o *opened, a roomair.Answer, why bool) {
	var act, mind []shop.Finding
	general := 0
	for _, f := range a.Findings {
		switch {
		case f.Code.Severity != shop.Note:
			act = append(act, f)
		case !why && roomair.General(f, o.shop):
			general++
		default:
			mind = append(mind, f)
		}
	}
	printFindings(e, o, act)
	if len(mind)+general > 0 {
		fmt.Fprintln(e.out, "\nTo keep in mind")
	}
	for _, f := range mind {
		fmt.Fprintf(e.out, "  %s [%s]\n", f.Sentence(o.units), f.Code.Name)
	}
	if general > 0 {
		fmt.Fprintf(e.out, "  In any shop: wood dust causes cancer (IARC group 1); children and anyone with asthma stay out while there is work%s; bins can burn; vapour, old paint and treated wood are not counted. All cautions: --why\n",
			afterWork(a.Clearing.StayOut.NineInTen))
	}
}

func afterWork(t unit.Second) string {
	if t <= 0 {
		return ""
	}
	return " and for " + roomair.PrintWait(t) + " after it"
}

func printAirNotLookedAt(e *env, o *opened) {
	left := notLookedAt(o, airReads)
	fmt.Fprintln(e.out)
	if len(left) > 0 {
		fmt.Fprintf(e.out, "Not looked at here: %s.\n", strings.Join(left, ", "))
	}
	fmt.Fprintf(e.out, "%s assumed, not given.\n", capital(count(len(o.assumed), "value")+verbWas(len(o.assumed))))
}

// printHelps is first: what each act leaves of today.
func printHelps(e *env, o *opened, a roomair.Answer) {
	if len(a.Options) == 0 {
		return // the first sentence said that nothing here makes dust, or that nothing known would help
	}
	fmt.Fprintln(e.out, "What helps most: how much less dust you breathe (in brackets: nine times in ten it lies between)")
	var rows [][]string
	var little []string
	for _, x := range a.Options {
		if x.Inhalable.Median > 0.985 && x.Respirable.Median > 0.985 {
			little = append(little, x.Remedy.Sentence(o.units))
			continue
		}
		price := ""
		switch {
		case x.Remedy.Free:
			price = "free"
		case x.Remedy.Price.Code != "":
			price = x.Remedy.Price.Print()
		}
		rows = append(rows, []string{price, x.Remedy.Sentence(o.units), "breathes " + roomair.PrintLess(x.Inhalable, "", "today"), roomair.PrintLess(x.Respirable, " of the finest", "today"), heldText(x.Withheld)})
	}
	printTable(e.out, nil, rows)
	if len(little) > 0 {
		fmt.Fprintf(e.out, "Hardly anything for what you breathe: %s.\n", strings.Join(little, "; "))
	}
	fmt.Fprintln(e.out)
}

func heldText(why string) string {
	if why == "" {
		return ""
	}
	return "but: " + why
}

// printMasks says where the mask belongs on and where it is better with one. What it leaves out is no promise: levels are
// good to a factor of five.
func printMasks(e *env, a roomair.Answer) {
	var words []string
	if on := masked(a, roomair.MaskYes); len(on) > 0 {
		words = append(words, "Mask on for: "+strings.Join(on, ", ")+".")
	}
	if better := masked(a, roomair.MaskBetter); len(better) > 0 {
		words = append(words, "Better with one: "+strings.Join(better, ", ")+".")
	}
	if len(words) > 0 {
		fmt.Fprintln(e.out, strings.Join(words, " "))
	}
}

// printMasksRest names the others, with what that does not mean.
func printMasksRest(e *env, a roomair.Answer) {
	if rest := masked(a, roomair.MaskAlone); len(rest) > 0 {
		fmt.Fprintf(e.out, "Not for these alone: %s. Levels are good to a factor of five, and dust of the task before still hangs there: in doubt, wear it.\n", strings.Join(rest, ", "))
	}
}

func masked(a roomair.Answer, word string) []string {
	var out []string
	for _, k := range a.Tasks {
		if k.Mask == word {
			out = append(out, k.Name)
		}
	}
	return out
}

func printWaits(e *env, o *opened, a roomair.Answer) {
	c := a.Clearing
	if c.Alone.NineInTen <= 0 {
		return
	}
	wait := func(w roomair.Wait) string {
		return fmt.Sprintf("%s, nine times in ten within %s", roomair.PrintWait(w.Median), roomair.PrintWait(w.NineInTen))
	}
	if c.WithCleaner == nil {
		fmt.Fprintf(e.out, "Others stay out after work until a tenth of the dust is left: %s.\n", wait(c.Alone))
	} else {
		fmt.Fprintf(e.out, "Others stay out after work until a tenth of the dust is left: with the cleaner %s; without it %s.\n", wait(*c.WithCleaner), wait(c.Alone))
		if c.StayOut != *c.WithCleaner {
			fmt.Fprintf(e.out, "As the cleaner is set today: %s.\n", wait(c.StayOut))
		}
		fmt.Fprintf(e.out, "Let the cleaner run %s after the last machine, through cleaning up.\n", roomair.PrintWait(c.CleanerRuns))
	}
	if q := a.Cleaner; q.HalfHour > 0 {
		fmt.Fprintf(e.out, "A cleaner sold as %s with MERV 13 would do it in half an hour, as a box delivers less than it claims; beyond %s more hardly pays.\n", roomair.PrintSize(q.HalfHour, o.units), roomair.PrintSize(q.StopAt, o.units))
	} else if q.StopAt > 0 {
		fmt.Fprintf(e.out, "No single cleaner clears this room in half an hour; beyond %s more hardly pays.\n", roomair.PrintSize(q.StopAt, o.units))
	}
}

func printTasks(e *env, o *opened, a roomair.Answer) {
	if len(a.Tasks) == 0 {
		return
	}
	fmt.Fprintln(e.out, "\nWhere the day's dust comes from (levels while at it, good to a factor of five)")
	var rows [][]string
	for _, k := range a.Tasks {
		caught := "nothing"
		if k.Caught.Median > 0.005 {
			caught = fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*k.Caught.Median, 100*k.Caught.Low, 100*k.Caught.High)
		}
		rows = append(rows, []string{k.Name, roomair.PrintWait(k.A), roomair.PrintShare(k.OfDay.Median), caught, roomair.PrintLevels(k.Mean.Inhalable, o.units), roomair.PrintLevels(k.Mean.Respirable, o.units)})
	}
	printTable(e.out, []string{"task", "a day", "of the dose", "caught at the machine", "inhalable", "respirable"}, rows, 2, 3)
	if len(a.NoHours) > 0 {
		fmt.Fprintf(e.out, "Not counted, as the routine has no hours of it: %s.\n", strings.Join(a.NoHours, ", "))
	}
}

// printBeside says what other setups and a second machine change.
func printBeside(e *env, a roomair.Answer) {
	if len(a.Setups)+len(a.Together) == 0 {
		return
	}
	fmt.Fprintln(e.out)
	for _, x := range a.Setups {
		fmt.Fprintf(e.out, "%s as %s: %s escapes.\n", capital(x.Machine), x.Setup, roomair.PrintLess(x.Escapes, " dust", "usually"))
	}
	for _, x := range a.Together {
		fmt.Fprintf(e.out, "Half an hour at the %s with the %s running too: you breathe %s.\n", x.At, x.With, roomair.PrintLess(x.Breathes, " dust", "alone"))
	}
}

func printFilters(e *env, a roomair.Answer) {
	if len(a.Filters) == 0 {
		return
	}
	fmt.Fprintf(e.out, "\nWhich filter on the %s, which blows back into the room: of the finest dust you breathe\n", a.FilterOf)
	var rows [][]string
	for _, f := range a.Filters {
		rows = append(rows, []string{f.Grade, f.Sold, roomair.PrintLess(f.Respirable, "", "today")})
	}
	printTable(e.out, nil, rows)
}

func printOutdoors(e *env, o *opened, a roomair.Answer) {
	x := a.Outdoors
	if x == nil {
		return
	}
	fmt.Fprintln(e.out)
	size := fmt.Sprintf("It moves %s: as much must come in, by an opening of %s at 2 Pa; on a day %s colder outdoors %s of heat goes with it, %s in a week of such days.",
		roomair.PrintSize(x.Flow, o.units), roomair.PrintTwo(x.Opening, o.units), roomair.PrintColder(x.Colder, o.units),
		roomair.PrintTwo(x.Heat, o.units), roomair.PrintTwo(x.HeatWeek, o.units))
	if x.Already { // beside a flame it is a finding
		fmt.Fprintf(e.out, "The %s blows outdoors. %s\n", x.System, size)
		return
	}
	switch x.Advice {
	case "say first":
		fmt.Fprintf(e.out, "Blow the %s outdoors? First: is there a flame in the room (water heater, furnace, stove)? Write it under flames in the room.\n", x.System)
	case "may":
		fmt.Fprintf(e.out, "Blow the %s outdoors? No flame here forbids it; you would breathe %s. %s\n", x.System, roomair.PrintLess(x.Gain, " of the finest dust", "today"), size)
	default:
		fmt.Fprintf(e.out, "Blow the %s outdoors? Not beside the flame: with the doors shut the room would be pulled %s below outdoors, and its flue may spill at 2 to 5 Pa. %s\n",
			x.System, roomair.PrintPull(x.BelowLow, x.BelowTop), size)
	}
}

func printAverages(e *env, o *opened, a roomair.Answer) {
	if len(a.Tasks) == 0 {
		return
	}
	fmt.Fprintln(e.out, "\nIn detail: averages over 8 hours, however short the work was")
	rows := [][]string{
		{"inhalable", roomair.PrintLevels(a.TWA.Inhalable, o.units)}, {"thoracic", roomair.PrintLevels(a.TWA.Thoracic, o.units)}, {"respirable", roomair.PrintLevels(a.TWA.Respirable, o.units)},
	}
	rows = append(rows, []string{"inhalable, elsewhere in the room while you work", roomair.PrintLevels(a.Others.Inhalable, o.units)})
	if a.WithMask != nil {
		rows = append(rows, []string{"inhalable, mask on as said", roomair.PrintLevels(a.WithMask.Inhalable, o.units)})
	}
	printTable(e.out, nil, rows)
	if len(a.Limits) == 0 {
		return
	}
	fmt.Fprintln(e.out, "Against named limits (this never shows that one is kept)")
	rows = rows[:0]
	for _, l := range a.Limits {
		rows = append(rows, []string{l.By, l.Place + " " + l.Year, cmp.Or(l.Wood, "any wood"), l.Fraction, unit.Print(l.Level, o.units), l.Word})
	}
	printTable(e.out, nil, rows)
}
