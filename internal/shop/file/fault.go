package file

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
)

// Code is a kind of fault: a stable name that tests and --json hang on, and what it means in general.
type Code struct{ Name, Help string }

// Fault is one thing wrong with the file. All of them are told at once, in the order of the file.
type Fault struct {
	Code    *Code
	Pos     Pos
	Also    Pos       // the other place, where two disagree; zero if there is none
	Path    shop.Path // the part of the shop, "" for the file as a whole
	Excerpt string    // the line with a mark under the place; two lines of text
	What    string    // what is wrong: one sentence without a full stop
	Cure    string    // what to do next, or what to write instead
	Warn    bool      // hinders nothing: see Doc.Warnings

	span int   // characters to mark
	node *node // whose path to look up
	also *node
}

// Text is the fault as the owner reads it, with the name of the file before it.
func (f Fault) Text(filename string) string {
	var b strings.Builder
	severity := "error"
	if f.Warn {
		severity = "warn "
	}
	fmt.Fprintf(&b, "%s:%d:%d  %s  ", filename, f.Pos.Line, f.Pos.Column, severity)
	if f.Path != "" {
		fmt.Fprintf(&b, "%s: ", f.Path)
	}
	fmt.Fprintf(&b, "%s  [%s]\n", f.What, f.Code.Name)
	if f.Excerpt != "" {
		b.WriteString(f.Excerpt)
		b.WriteByte('\n')
	}
	if f.Cure != "" {
		fmt.Fprintf(&b, "                 %s\n", strings.TrimSpace(f.Cure))
	}
	return b.String()
}

// Error lets a fault stand where an error is wanted.
func (f Fault) Error() string {
	s := fmt.Sprintf("line %d: %s", f.Pos.Line, f.What)
	if f.Path != "" {
		s = fmt.Sprintf("line %d, %s: %s", f.Pos.Line, f.Path, f.What)
	}
	return s
}

// widest excerpt; a longer line is cut to the part around the mark.
const excerptWidth = 100

// excerpt draws the line of a place and marks span characters from it on.
func (t *text) excerpt(p Pos, span int) string { return t.draw(p, t.offset(p), span) }

// draw is excerpt where the offset of the place is known.
func (t *text) draw(p Pos, offset, span int) string {
	from, to := t.lines[p.Line-1], t.lineEnd(p.Line)
	before, after := "", ""
	// four bytes a character at most: enough for the part that is shown
	if cut := offset - 4*excerptWidth; cut > from {
		from = cut
		for from < offset && !utf8.RuneStart(t.src[from]) {
			from++
		}
		before = "… "
	}
	if cut := offset + 4*excerptWidth; cut < to {
		to = cut
		for to > offset && !utf8.RuneStart(t.src[to]) {
			to--
		}
		after = " …"
	}
	line := []rune(t.src[from:max(from, to)])
	for i, r := range line {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			line[i] = ' ' // a tab would push the mark aside
		}
	}
	at := utf8.RuneCountInString(t.src[from:max(from, min(offset, to))])
	if len(line) > excerptWidth {
		start := max(0, min(at-excerptWidth/3, len(line)-excerptWidth))
		end := min(len(line), start+excerptWidth)
		if start > 0 {
			before = "… "
		}
		if end < len(line) {
			after = " …"
		}
		line, at = line[start:end], at-start
	}
	span = max(1, min(span, len(line)-at))
	number := fmt.Sprintf("%5d", p.Line)
	return number + " | " + before + string(line) + after + "\n" +
		strings.Repeat(" ", len(number)) + " | " + strings.Repeat(" ", utf8.RuneCountInString(before)+at) + strings.Repeat("^", span)
}

// finish gives the faults their paths and excerpts and puts them in the order of the file.
func (t *text) finish(faults []Fault, root *node) []Fault {
	if len(faults) == 0 {
		return nil
	}
	more := 0
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Column, b.Pos.Column))
	})
	if len(faults) > mostFaults { // in file order, so the first ones stay; what follows is mostly their echo
		more = len(faults) - mostFaults
		faults = faults[:mostFaults]
	}
	var paths map[*node]shop.Path
	if root != nil {
		paths = pathsOf(root)
	}
	var c cursor
	for i := range faults {
		f := &faults[i]
		if n := f.node; n != nil {
			f.Path = paths[n]
			if n.form != scalar && n.end > n.start && f.Pos == n.pos {
				stop := min(n.end, t.lineEnd(n.pos.Line), n.start+4*excerptWidth)
				f.span = utf8.RuneCountInString(t.src[n.start:max(n.start, stop)])
			}
		}
		if f.also != nil {
			f.Also = f.also.pos
		}
		offset := t.seek(&c, f.Pos)
		f.Pos = c.Pos
		f.Excerpt = t.draw(f.Pos, offset, f.span)
	}
	if more > 0 {
		last := &faults[len(faults)-1]
		last.Cure = strings.TrimSpace(fmt.Sprintf("%s %d more faults follow: mend these first.", last.Cure, more))
	}
	return faults
}

// mostFaults is how many are told at once; a file with more is no shop file, and each has its excerpt.
const mostFaults = 1000

// reword says in the owner's words what the YAML library could not read.
func (b *treeBuilder) reword(message, context string, at, from Pos) {
	line := func(p Pos) string { return fmt.Sprintf("line %d", p.Line) }
	has := func(s string) bool { return strings.Contains(message, s) }
	indented := strings.TrimLeft(b.lineText(at.Line), " ")
	switch {
	case has("exceeded max depth"):
		b.add(at, 1, TooDeep, tooDeep, tooDeepCure)
	case strings.HasPrefix(indented, "\t"), has("tab"):
		at.Column = 1 + utf8.RuneCountInString(b.lineText(at.Line)) - utf8.RuneCountInString(indented)
		b.add(at, 1, TabIndent, "a tab stands where spaces belong", "Set the line in with spaces, as the lines around it are.")
	case has("unknown anchor"):
		b.add(at, 1, Alias, "text starting with * would repeat something from elsewhere, and a shop file says each thing where it is", "Write the value out; text that starts with * goes in quotes.")
	case strings.Contains(context, "anchor"), strings.Contains(context, "alias"):
		b.add(from, 1, Syntax, "text cannot start with & or * here", "Put it in quotes.")
	case strings.Contains(context, "tag"), has("tag"):
		b.add(from, 1, Tag, "text starting with ! would be an order to the YAML reader, and a shop file has none", "Remove it; text that starts with ! goes in quotes.")
	case strings.Contains(context, "directive"), has("directive"), has("incompatible YAML document"), strings.HasPrefix(b.lineText(at.Line), "%"):
		b.add(at, 1, Directive, "a line starting with % speaks to the YAML reader, and a shop file has none", "Remove the line, or put the text in quotes.")
	case has("',' or ']'"):
		b.add(from, 1, Syntax, "the list that opens here with [ is not closed before "+line(at)+", or a comma is missing", "Close it with ], and put a comma between the items.")
	case has("',' or '}'"):
		b.add(from, 1, Syntax, "the braces that open here with { are not closed before "+line(at)+", or a comma is missing", "Close them with }, and put a comma between the keys.")
	case has("end of stream"), has("document indicator"):
		b.add(from, 1, Syntax, "the quote that opens here is never closed", "Close it; inches can also be written without a quote mark, as 6 in.")
	case has("escape"), has("hexadecimal"):
		b.add(at, 1, Syntax, "a \\ inside double quotes starts a special sign, and this one is not known", "Use single quotes around the text, or no quotes at all.")
	case has("mapping values are not allowed"):
		b.add(at, 1, Syntax, "a colon stands where no key can be", "Text with a colon in it goes in quotes. If this is a key, set its line in exactly as far as its neighbours.")
	case has("could not find expected ':'"):
		b.add(from, utf8.RuneCountInString(b.lineText(from.Line)), Syntax, "this line has no colon after its key", "Write KEY: VALUE; a line that only carries on the text above is set in deeper.")
	case has("did not find expected key"), has("expected '-'"), has("<document start>"):
		b.add(at, 1, Syntax, "this line does not belong to the lines above it", "Set it in exactly as far as its neighbours: the key under the key, the dash under the dash. Text after a closing quote is left over.")
	case has("cannot start any token"):
		c := "this sign"
		if s := []rune(b.lineText(at.Line)); at.Column <= len(s) {
			c = string(s[at.Column-1])
		}
		b.add(at, 1, Syntax, "text cannot start with "+c, "Put the text in quotes.")
	case has("did not find expected node content"):
		b.add(at, 1, Syntax, "a value is missing, or something stands here that is none", "Look for a comma or a bracket too many, or one never closed, here or in the lines above.")
	default:
		b.add(at, 1, Syntax, "this cannot be read: something here is not written the way a shop file is", "Compare the line with its neighbours: the colon, the quotes, the brackets, how far it is set in.")
	}
}
