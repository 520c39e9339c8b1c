package file

import (
	"errors"
	"fmt"
	"strconv"

	"winnow/internal/shop"
)

// OptionStale is no fault of the file: an option was written for a shop that has changed since.
var OptionStale = &Code{Name: "option-stale", Help: "What the option would change is no longer as it was when the option was written."}

// Warnings are what the file says that no longer fits, and that hinders nothing: options out of date.
func (d *Doc) Warnings() []Fault {
	if len(d.faults) > 0 {
		return nil
	}
	var out []Fault
	for _, o := range d.shop.Options {
		_, err := d.Try(o.Change...)
		var e *EditError
		if !errors.As(err, &e) {
			continue
		}
		p := shop.Path("options").Join(o.Name)
		where := p.Join("change", strconv.Itoa(e.Number))
		what := fmt.Sprintf("the option `%s` no longer fits: %s", o.Name, e.What)
		if e.Path != "" {
			what = fmt.Sprintf("the option `%s` no longer fits: %s: %s", o.Name, e.Path, e.What)
		}
		pos := d.Place(where)
		out = append(out, Fault{Code: OptionStale, Warn: true, Pos: pos, Path: p, What: what, Cure: "Change the option, or remove it. " + e.Cure, Excerpt: d.excerpt(pos, 1)})
	}
	return out
}
