package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
	"winnow/internal/shop/file"
	"winnow/internal/unit"
)

func newCommand(e *env) *cobra.Command {
	given := map[string]*string{}
	var ports, needs []string
	var noPapers, yes, force, mixed bool
	cmd := &cobra.Command{
		Use:   "new [FILE]",
		Short: "a few questions, then a shop file and its first verdict",
		Long: `new asks what there is, a question at a time, and writes a shop file (shop.yaml, unless FILE says otherwise) that
has a verdict at once. Enter stands for "not sure": the usual value is taken and marked as guessed, b goes back,
q leaves without writing. Every question can be answered by a flag instead, and --yes asks nothing at all.`,
		Example: "  winnow new\n" +
			"  winnow new --collector bag --motor '1 1/2 hp' --hose-width '4 in' --hose-length '10 ft' --machines 'planer*, table saw' --yes\n" +
			"  winnow new old.yaml --units si --no-papers --motor '0.75 kW' --inlet '100 mm' --pull-blocked '1.1 kPa'",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return badInput("%s wants one file name, not %d: %s", cmd.CommandPath(), len(args), cmd.UseLine())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			path := "shop.yaml"
			if len(args) == 1 {
				path = args[0]
			}
			if err := mayCreate(path, force); err != nil {
				return err
			}
			v := newInterview(e, mixed)
			v.silent = yes || e.json
			v.a.noPapers = noPapers
			for _, q := range append(v.questions(), v.laterQuestions()...) {
				text, ok := given[q.flag]
				if !ok || !cmd.Flags().Changed(q.flag) {
					continue
				}
				if err := v.take(q, *text); err != nil {
					return badInput("--%s: %v", q.flag, err)
				}
			}
			for _, c := range append(ports, needs...) {
				if err := v.a.correct(strings.Replace(c, "=", " ", 1), v.sys()); err != nil {
					return badInput("%s: %v", c, err)
				}
			}
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt)
			defer stop()
			switch err := v.ask(ctx, v.questions(), true); {
			case errors.Is(err, errLeft):
				return badInput("nothing was written")
			case err != nil:
				return err
			}
			return finish(ctx, e, v, path, force)
		},
	}
	for _, q := range append((&interview{}).questions(), (&interview{}).laterQuestions()...) {
		if q.flag != "" {
			given[q.flag] = cmd.Flags().String(q.flag, "", q.help)
		}
	}
	cmd.Flags().BoolVar(&mixed, "mixed", false, "inches and cfm, but 230 volts")
	cmd.Flags().BoolVar(&noPapers, "no-papers", false, "second-hand: asks for what can be measured instead")
	cmd.Flags().StringArrayVar(&ports, "port", nil, "`MACHINE=SIZE` of a port; may be given several times")
	cmd.Flags().StringArrayVar(&needs, "needs", nil, "`MACHINE=AIRFLOW` at which its chips leave; may be given several times")
	cmd.Flags().BoolVar(&yes, "yes", false, "ask nothing: what no flag says is not sure")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there; winnow undo brings it back")
	return cmd
}

// mayCreate is asked before the questions, so that nobody answers in vain.
func mayCreate(path string, force bool) error {
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return badInput("%s is a folder; name a file in it", path)
	case err == nil && !force:
		return badInput("%s is there already and is not written over\nName another file, or add --force; winnow undo would bring the old text back", path)
	case err == nil || errors.Is(err, fs.ErrNotExist):
	default:
		return badInput("%s: %v", path, err)
	}
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return badInput("%s: there is no folder %s; make it first", path, filepath.Dir(path))
	}
	return nil
}

// finish writes the file and says the verdict.
func finish(ctx context.Context, e *env, v *interview, path string, force bool) error {
	text := v.text()
	doc, faults := file.Parse(text)
	if len(faults) > 0 {
		return fmt.Errorf("the file that new made has a fault: %s\n%s", faults[0].Text(path), text) // ours, not the owner's
	}
	if err := create(ctx, path, text, force); err != nil {
		return err
	}
	said, err := v.judge(ctx, doc)
	if err != nil {
		return err
	}
	if e.json {
		return wire.Write(e.out, wire.Envelope{Shape: "new/1", Winnow: Version, Answer: v.answer(path, said)})
	}
	v.printVerdict(path, said)
	return v.more(ctx, path)
}

func create(ctx context.Context, path string, text []byte, force bool) error {
	err := desk.Create(path, text)
	if errors.Is(err, fs.ErrExist) && force {
		var d *desk.Desk
		if d, err = openDesk(path); err == nil {
			_, err = d.CommitText(ctx, 0, text, "winnow new")
		}
	}
	if errors.Is(err, fs.ErrExist) {
		return badInput("%s has appeared meanwhile and is not written over", path)
	}
	if err != nil {
		return badInput("%v", err)
	}
	return nil
}

// sys is the system of units that answers and results are in.
func (v *interview) sys() unit.System {
	if v.a.metric {
		return unit.SI
	}
	return unit.US
}
