package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/unit"
)

// outletName is what the one outlet is called that the answers speak of.
const outletName = "outlet A"

// laterQuestions are asked once there is a verdict, and only if somebody wants to know: two for the breaker, two for the air.
func (v *interview) laterQuestions() []question {
	return append(v.powerQuestions(), v.airQuestions()...)
}

func (v *interview) powerQuestions() []question {
	a := &v.a
	return []question{
		{
			name: "breaker", flag: "breaker", help: "number on the breaker's handle: 20 A",
			text: func() string {
				return "What number is on the handle of the breaker? (A)   [enter: not sure]"
			},
			take: func(s string) (err error) {
				a.breaker, err = quantity[unit.Ampere](s, "A")
				a.askedPower = err == nil
				return err
			},
			skip: func() { a.breaker, a.askedPower = "", true },
		},
		{
			name: "dark", flag: "dark", help: "what goes dark when that breaker is switched off, in a list",
			text: func() string {
				return "Switch it off: which of these go dark? " + strings.Join(v.pluggable(), ", ") + "   [enter: not sure, taken as all of them]"
			},
			take: v.takeDark,
			skip: func() { a.dark = nil },
		},
	}
}

// pluggable is what may hang on the breaker.
func (v *interview) pluggable() []string {
	var names []string
	if v.collectorIsThere() {
		names = append(names, v.systemName())
	}
	for _, m := range v.a.machines {
		names = append(names, m.name)
	}
	return names
}

func (v *interview) takeDark(text string) error {
	var list []string
	for _, name := range strings.Split(text, ",") {
		name = strings.TrimSpace(name)
		if name == "" {
			continue
		}
		if !slices.Contains(v.pluggable(), name) {
			return fmt.Errorf("%q is none of these: %s", name, strings.Join(v.pluggable(), ", "))
		}
		list = append(list, name)
	}
	v.a.dark, v.a.askedPower = list, true
	return nil
}

// plug is the outlet of a thing that goes dark with the breaker; empty if it does not.
func (v *interview) plug(name string) string {
	if !v.a.askedPower || v.a.dark != nil && !slices.Contains(v.a.dark, name) {
		return ""
	}
	return "{outlet: " + outletName + "}"
}

func (v *interview) airQuestions() []question {
	a := &v.a
	return []question{
		{
			name: "air goes", flag: "air-goes", help: "where the collector's air goes: room or outdoors",
			when: v.collectorIsThere,
			text: func() string {
				return "Does its air blow back into the room?\n   1 room   2 outdoors   [enter: not sure]"
			},
			take: func(s string) (err error) { a.airGoes, err = choice(s, "room", "outdoors"); return err },
			skip: func() { a.airGoes = "" },
		},
		{
			name: "flame", flag: "flame", help: "a burner in the room: none, chimney (draws by itself) or sealed",
			text: func() string {
				return "Is there a flame in the room: a water heater, a boiler, a stove?\n" +
					"   1 none   2 yes, its chimney draws by itself   3 yes, with a fan or a sealed flue   [enter: not sure]"
			},
			take: func(s string) (err error) { a.flame, err = choice(s, "none", "chimney", "sealed"); return err },
			skip: func() { a.flame = "" },
		},
	}
}

// flames is the answer in the file's words.
var flames = map[string]string{"none": "none", "chimney": "{burner: {draught: natural}}", "sealed": "{burner: {draught: sealed}}"}

// more answers the two questions an owner has next, if somebody is there to ask them.
func (v *interview) more(ctx context.Context, path string) error {
	if v.silent {
		return nil
	}
	d, err := openDesk(path)
	if err != nil {
		return err
	}
	rev := d.Head().Number
	for {
		line, _, err := v.answer1(ctx, question{text: func() string {
			return "More?   t will it trip my breaker?   a do I breathe it?   [enter: done]"
		}})
		if errors.Is(err, errQuit) || err == nil && line == "" {
			return nil
		}
		if err != nil {
			return err
		}
		var study *cobra.Command
		questions := v.airQuestions()
		switch strings.ToLower(line) {
		case "a":
			study = airCommand(v.e)
		case "t":
			study, questions = powerCommand(v.e), v.powerQuestions()
		default:
			fmt.Fprintf(v.e.out, "   %q: t, a or enter\n", line)
			continue
		}
		for _, q := range questions {
			delete(v.done, q.name) // asked again, it may be answered otherwise
		}
		switch err := v.ask(ctx, questions, false); {
		case errors.Is(err, errLeft):
			return nil // the file is there, and stays
		case err != nil:
			return err
		}
		now, err := d.CommitText(ctx, rev, v.text(), "winnow new, more")
		if err != nil {
			return refused(path, err)
		}
		rev = now.Number
		fmt.Fprintln(v.e.out)
		study.SetContext(ctx)
		if err := study.RunE(study, []string{path}); err != nil && !errors.Is(err, failing) {
			return err
		}
	}
}
