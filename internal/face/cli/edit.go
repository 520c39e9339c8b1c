package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// editAnswer is what a change did to the file.
type editAnswer struct {
	File     string       `json:"file"`
	Revision int          `json:"revision"` // the one that says it now; with a dry run the one that was looked at
	Cause    string       `json:"cause"`
	Written  bool         `json:"written"`
	Lines    []changeLine `json:"lines"`
	Undo     string       `json:"undo"` // what undo would undo; empty if nothing
	Redo     string       `json:"redo"`
}

// changeLine is a line that is gone, by its number in the old text, or one that is new, by its number in the new text.
type changeLine struct {
	Line int    `json:"line"`
	Sign string `json:"sign"` // - or +
	Text string `json:"text"`
}

func editCommand(e *env) *cobra.Command {
	var from, rename, to, insert, before, after, cause string
	var remove []string
	var dry bool
	cmd := &cobra.Command{
		Use:   "edit FILE",
		Short: "make edits in a shop file; comments, order and everything else stay as they are",
		Long: `edit changes a shop file by edits: those of --edits (a file, or - for standard input), then those of the flags.
Edits are written as in the options of a shop file, or as JSON; a single one needs no list:
  - {set: machines/planer/port/size, to: 5 in, was: 4 in}
  - {remove: machines/lathe}
  - {insert: {pipe: 3 ft}, after: systems/collector/runs/main/pieces/gate saw gate}
  - {rename: machines/planer, to: thicknesser}
All of them are made, or none. winnow undo takes them back.`,
		Example: "  winnow edit shop.yaml --edits changes.yaml --dry-run\n" +
			"  winnow edit shop.yaml --rename machines/planer --to thicknesser\n" +
			"  winnow edit shop.yaml --remove options/lathe hood\n" +
			"  winnow edit shop.yaml --insert '{pipe: 3 ft}' --after 'systems/collector/runs/main/pieces/hose 1'",
		Args: oneFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			edits, err := editsFromFlags(rename, to, insert, before, after)
			if err != nil {
				return err
			}
			if from == "" && len(edits)+len(remove) == 0 {
				if terminal(e) {
					return badInput("there is no edit: add --edits FILE, --remove, --rename or --insert (winnow edit --help)")
				}
				from = "-"
			}
			if from != "" {
				read, err := editsFromFile(e, from)
				if err != nil {
					return err
				}
				edits = append(read, edits...)
			}
			d, err := openDesk(args[0])
			if err != nil {
				return err
			}
			if cause == "" {
				cause = causeOf(edits, remove)
			}
			edits = append(edits, removals(d.Head().Doc.Shop(), remove)...)
			return change(cmd.Context(), e, d, args[0], edits, cause, dry)
		},
	}
	cmd.Flags().StringVar(&from, "edits", "", "file with edits, - for standard input")
	cmd.Flags().StringArrayVar(&remove, "remove", nil, "`PATH` of what to take out, a machine with all that speaks of it; may be given several times")
	cmd.Flags().StringVar(&rename, "rename", "", "`PATH` of what to rename, with --to; all that speaks of it is mended")
	cmd.Flags().StringVar(&to, "to", "", "the new `NAME`")
	cmd.Flags().StringVar(&insert, "insert", "", "`VALUE` to put into a list or among names, with --before or --after")
	cmd.Flags().StringVar(&before, "before", "", "`PATH` before which to insert")
	cmd.Flags().StringVar(&after, "after", "", "`PATH` after which to insert")
	addChangeFlags(cmd, &cause, &dry)
	return cmd
}

func addChangeFlags(cmd *cobra.Command, cause *string, dry *bool) {
	cmd.Flags().StringVar(cause, "cause", "", "what to call the change in the history")
	cmd.Flags().BoolVar(dry, "dry-run", false, "show what would change, and write nothing")
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error {
		return badInput("%v\nBefore a value that starts with a minus write -- : winnow set shop.yaml -- PATH VALUE", err)
	})
}

func terminal(e *env) bool {
	f, isFile := e.in.(*os.File)
	if !isFile {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// removals take things out; a machine goes with all that speaks of it.
func removals(s *shop.Shop, paths []string) []shop.Edit {
	var edits []shop.Edit
	for _, p := range paths {
		p := shop.Path(p)
		if p.Parent() == "machines" && s.Machine(p.Last()) != nil {
			edits = append(edits, shop.RemoveMachine(s, p.Last())...)
			continue
		}
		edits = append(edits, shop.Edit{Remove: p})
	}
	return edits
}

func editsFromFile(e *env, path string) ([]shop.Edit, error) {
	src, err := readFile(e, path)
	if err != nil {
		return nil, badInput("the edits: %v", err)
	}
	if path == "-" {
		path = "standard input"
	}
	return readEdits(src, path)
}

func editsFromFlags(rename, to, insert, before, after string) ([]shop.Edit, error) {
	var edits []shop.Edit
	switch {
	case rename != "" && to == "":
		return nil, badInput("--rename %s: say --to what", rename)
	case rename == "" && to != "":
		return nil, badInput("--to %s: say what to --rename", to)
	case rename != "":
		edits = append(edits, shop.Edit{Rename: shop.Path(rename), To: shop.Text(to)})
	}
	switch {
	case insert == "" && before+after != "":
		return nil, badInput("--before and --after say where to --insert something")
	case insert == "":
	case (before == "") == (after == ""):
		return nil, badInput("--insert wants to know where: --before PATH or --after PATH")
	default:
		v, err := readValue(insert)
		if err != nil {
			return nil, err
		}
		edits = append(edits, shop.Edit{Insert: v, Before: shop.Path(before), After: shop.Path(after)})
	}
	return edits, nil
}

// readValue reads a value as it would stand in a shop file: a list or a map in brackets or braces, else the text as it is.
func readValue(text string) (*shop.Value, error) {
	if s := strings.TrimSpace(text); !strings.HasPrefix(s, "{") && !strings.HasPrefix(s, "[") {
		return shop.Text(text), nil
	}
	// under a key that the grammar does not know only the syntax is looked at; what fits is asked when the edit is made
	doc, faults := file.Parse([]byte("winnow: 1\nvalue: " + text + "\n"))
	for _, f := range faults {
		if f.Code != file.UnknownKey {
			return nil, badInput("%s cannot be read: %s. %s", text, f.What, f.Cure)
		}
	}
	v, ok := doc.Value("value")
	if !ok {
		return nil, badInput("%s cannot be read as a value", text)
	}
	return v, nil
}

var lineNumber = regexp.MustCompile(`line \d+`)

// readEdits reads a list of edits, or one edit alone. The edits of a shop file's options are the same language, so they
// are read as an option of a file that holds nothing else. JSON reads as YAML in braces.
func readEdits(src []byte, name string) ([]shop.Edit, error) {
	text := strings.ReplaceAll(strings.TrimPrefix(string(src), "\ufeff"), "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		return nil, badInput("%s: there is no edit in it", name)
	}
	const head, indent = "winnow: 1\noptions:\n  these:\n    change:\n", "      "
	doc, faults := file.Parse([]byte(head + indent + strings.ReplaceAll(listed(text), "\n", "\n"+indent) + "\n"))
	above := strings.Count(head, "\n")
	var said []string
	for _, f := range faults {
		line := f.What
		if f.Cure != "" {
			line += ". " + f.Cure
		}
		line = lineNumber.ReplaceAllStringFunc(line, func(s string) string {
			n, _ := strconv.Atoi(strings.TrimPrefix(s, "line "))
			return fmt.Sprint("line ", min(max(1, n-above), strings.Count(strings.TrimSpace(text), "\n")+1))
		})
		said = append(said, fmt.Sprintf("line %d: %s", max(1, f.Pos.Line-above), line))
	}
	if len(said) > 0 {
		return nil, badInput("%s: %s", name, strings.Join(said, "\n  "))
	}
	options := doc.Shop().Options
	if len(options) != 1 || len(options[0].Change) == 0 {
		return nil, badInput("%s: there is no edit in it", name)
	}
	return options[0].Change, nil
}

// listed makes a list of an edit that stands alone.
func listed(text string) string {
	for _, line := range strings.Split(text, "\n") {
		switch s := strings.TrimSpace(line); {
		case s == "" || strings.HasPrefix(s, "#"):
		case strings.HasPrefix(s, "-"), strings.HasPrefix(s, "["):
			return text
		case strings.HasPrefix(s, "{"):
			return "[" + text + "]"
		default:
			return "- " + strings.ReplaceAll(text, "\n", "\n  ")
		}
	}
	return text
}

// causeOf names a change by its edits, and by what is removed after them.
func causeOf(edits []shop.Edit, remove []string) string {
	var first string
	n := len(edits) + len(remove) - 1
	switch {
	case len(edits) > 0:
		first = causeOfOne(edits[0])
	default:
		first = "removed " + remove[0]
	}
	if n > 0 {
		first += " and " + count(n, "more edit")
	}
	return first
}

func causeOfOne(e shop.Edit) string {
	switch {
	case e.Set != "" && e.To.Kind == shop.Scalar && len(e.To.Text) < 60:
		return "set " + string(e.Set) + " to " + e.To.Text
	case e.Set != "":
		return "set " + string(e.Set)
	case e.Remove != "":
		return "removed " + string(e.Remove)
	case e.Rename != "":
		return "renamed " + string(e.Rename) + " to " + e.To.Text
	}
	return "inserted at " + string(e.Target())
}

// change makes edits in a file that nobody else need have open.
func change(ctx context.Context, e *env, d *desk.Desk, path string, edits []shop.Edit, cause string, dry bool) error {
	before := d.Head()
	if err := refuseFaults(e, path, before); err != nil {
		return err
	}
	if dry {
		next, err := before.Doc.Apply(edits...)
		if err != nil {
			return refused(path, err)
		}
		return e.showChange(d, path, before, desk.Revision{Number: before.Number, Cause: cause, Text: next.Text()}, false)
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	now, err := d.Commit(ctx, before.Number, edits, cause)
	if err != nil {
		return refused(path, err)
	}
	return e.showChange(d, path, before, now, true)
}

func openDesk(path string) (*desk.Desk, error) {
	if path == "-" {
		return nil, badInput("standard input cannot be changed: name a shop file")
	}
	d, err := desk.Open(path, time.Now)
	var disk *desk.DiskError
	switch {
	case errors.As(err, &disk) && disk.Reason == desk.Gone:
		return nil, badInput("%s: there is no such file\nwinnow new makes one", path)
	case err != nil:
		return nil, badInput("%v", err)
	}
	return d, nil
}

func refuseFaults(e *env, path string, r desk.Revision) error {
	faults := r.Doc.Faults()
	if len(faults) == 0 {
		return nil
	}
	for _, f := range faults {
		fmt.Fprintln(e.err, f.Text(path))
	}
	return badInput("%s: %s; only a file without is changed. winnow undo goes back to the text before", path, count(len(faults), "fault"))
}

// refused turns what kept a change from being made into words.
func refused(path string, err error) error {
	var edit *file.EditError
	var conflict *desk.Conflict
	switch {
	case errors.As(err, &conflict):
		return badInput("%s: %v", path, err)
	case errors.As(err, &edit):
		also := ""
		for _, f := range edit.Faults[min(1, len(edit.Faults)):] {
			also += fmt.Sprintf("\nand %s: %s", f.Path, f.What)
		}
		return badInput("%s: edit %d is refused, nothing was changed\n%v  [%s]%s", path, max(1, edit.Number), edit, edit.Code.Name, also)
	case errors.Is(err, context.Canceled):
		return badInput("stopped, nothing was changed")
	}
	return badInput("%v", err)
}

func (e *env) showChange(d *desk.Desk, path string, before, now desk.Revision, written bool) error {
	a := editAnswer{File: path, Revision: now.Number, Cause: now.Cause, Written: written, Lines: changedLines(string(before.Text), string(now.Text))}
	a.Undo, a.Redo = d.Steps()
	if len(a.Lines) == 0 {
		a.Written, a.Cause = false, ""
	}
	if trouble := d.Trouble(); trouble != nil && written {
		fmt.Fprintf(e.err, "winnow: undo will not survive this command: %v\n", trouble)
	}
	if e.json {
		return wire.Write(e.out, wire.Envelope{Shape: "edit/1", Winnow: Version, Answer: a})
	}
	if len(a.Lines) == 0 {
		fmt.Fprintf(e.out, "%s says so already; nothing was changed.\n", path)
		return nil
	}
	for _, l := range a.Lines {
		fmt.Fprintf(e.out, "%5d %s %s\n", l.Line, l.Sign, l.Text)
	}
	if !written {
		fmt.Fprintln(e.out, "Nothing was written (--dry-run).")
		return nil
	}
	back := "undo"
	if strings.HasPrefix(now.Cause, "undo: ") {
		back = "redo"
	}
	fmt.Fprintf(e.out, "Revision %d: %s. winnow %s %s takes it back.\n", now.Number, now.Cause, back, path)
	return nil
}

// changedLines compares two texts line by line; lines at the top and at the end that both share are left out first.
func changedLines(was, is string) []changeLine {
	a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
	top := 0
	for top < min(len(a), len(b)) && a[top] == b[top] {
		top++
	}
	for len(a) > top && len(b) > top && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	a, b = a[top:], b[top:]
	var out []changeLine
	gone := func(i int) { out = append(out, changeLine{top + i + 1, "-", strings.TrimSuffix(a[i], "\r")}) }
	come := func(j int) { out = append(out, changeLine{top + j + 1, "+", strings.TrimSuffix(b[j], "\r")}) }
	long := commonAfter(a, b)
	i, j := 0, 0
	for i < len(a) || j < len(b) {
		switch {
		case i < len(a) && j < len(b) && a[i] == b[j] && long != nil:
			i, j = i+1, j+1
		case i < len(a) && (j == len(b) || long == nil || long[i+1][j] >= long[i][j+1]):
			gone(i)
			i++
		default:
			come(j)
			j++
		}
	}
	return out
}

// commonAfter is, for each pair of lines, how many lines the texts have in common from there on (longest common
// subsequence); nil where the texts are so long that it is not worth it.
func commonAfter(a, b []string) [][]int32 {
	if len(a)*len(b) > 4_000_000 {
		return nil
	}
	long := make([][]int32, len(a)+1)
	for i := range long {
		long[i] = make([]int32, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				long[i][j] = long[i+1][j+1] + 1
			} else {
				long[i][j] = max(long[i+1][j], long[i][j+1])
			}
		}
	}
	return long
}

func undoCommand(e *env) *cobra.Command {
	var list bool
	cmd := &cobra.Command{
		Use:   "undo FILE",
		Short: "take the last change of a shop file back, whoever made it",
		Long: `undo brings back the text before the last change: one made by winnow set, winnow edit or on the page, or one made
with an editor. The last 200 steps are kept beside the file, and winnow redo makes them again.`,
		Example: "  winnow undo shop.yaml\n  winnow undo shop.yaml --list",
		Args:    oneFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			if list {
				return e.showHistory(args[0])
			}
			return step(cmd.Context(), e, args[0], (*desk.Desk).Undo)
		},
	}
	cmd.Flags().BoolVar(&list, "list", false, "list the changes that are known, and undo nothing")
	return cmd
}

func redoCommand(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "redo FILE",
		Short: "make a change again that undo took back",
		Args:  oneFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return step(cmd.Context(), e, args[0], (*desk.Desk).Redo)
		},
	}
}

func step(ctx context.Context, e *env, path string, to func(*desk.Desk, context.Context, int, ...desk.Option) (desk.Revision, error)) error {
	d, err := openDesk(path)
	if err != nil {
		return err
	}
	before := d.Head()
	now, err := to(d, ctx, before.Number)
	switch {
	case errors.Is(err, desk.ErrNothingToUndo), errors.Is(err, desk.ErrNothingToRedo):
		return badInput("%s: %v", path, err)
	case err != nil:
		return refused(path, err)
	}
	return e.showChange(d, path, before, now, true)
}

type historyLine struct {
	Revision int    `json:"revision"`
	When     string `json:"when,omitempty"`
	Cause    string `json:"cause"`
}

func (e *env) showHistory(path string) error {
	d, err := openDesk(path)
	if err != nil {
		return err
	}
	lines := []historyLine{}
	var rows [][]string
	for _, r := range d.History() {
		l := historyLine{Revision: r.Number, Cause: r.Cause}
		shown := ""
		if !r.When.IsZero() {
			l.When = r.When.UTC().Format(time.RFC3339)
			shown = r.When.Local().Format("2006-01-02 15:04")
		}
		lines = append(lines, l)
		rows = append(rows, []string{fmt.Sprint(r.Number), shown, r.Cause})
	}
	if e.json {
		return wire.Write(e.out, wire.Envelope{Shape: "history/1", Winnow: Version, Answer: lines})
	}
	printTable(e.out, []string{"revision", "when", "what"}, rows, 1)
	return nil
}
