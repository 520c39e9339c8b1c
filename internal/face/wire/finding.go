package wire

import (
	"winnow/internal/shop"
	"winnow/internal/unit"
)

// Finding is a finding as --json and the page get it: numbers in SI, the sentence in the owner's units, its place in the file.
type Finding struct {
	Code     string             `json:"code"`
	Severity string             `json:"severity"`
	Path     string             `json:"path"`
	Line     int                `json:"line,omitempty"`
	Column   int                `json:"column,omitempty"`
	Sentence string             `json:"sentence"`
	Help     string             `json:"help,omitempty"`
	Numbers  map[string]float64 `json:"numbers,omitempty"` // name with its SI unit as ending
	Words    map[string]string  `json:"words,omitempty"`
	Source   string             `json:"source,omitempty"`
}

// Findings turns findings into their shape; place finds a path's line and column in the shop file.
func Findings(fs []shop.Finding, sys unit.System, place func(shop.Path) (line, column int)) []Finding {
	out := make([]Finding, 0, len(fs))
	for _, f := range fs {
		w := Finding{
			Code: f.Code.Name, Severity: f.Code.Severity.String(), Path: string(f.Where), Sentence: f.Sentence(sys), Help: f.Code.Help, Source: f.Source,
		}
		w.Line, w.Column = place(f.Where)
		for _, a := range f.Args {
			switch {
			case a.Print == nil:
				if w.Words == nil {
					w.Words = map[string]string{}
				}
				w.Words[a.Name] = a.Word
			default:
				if w.Numbers == nil {
					w.Numbers = map[string]float64{}
				}
				w.Numbers[a.Name+"_"+a.Unit] = a.Value
			}
		}
		out = append(out, w)
	}
	return out
}

// Remedy is an act that was solved again, with the edits that carry it out.
type Remedy struct {
	Code     string    `json:"code"`
	Sentence string    `json:"sentence"`
	Free     bool      `json:"free"`
	Price    string    `json:"price,omitempty"`
	Edits    []Edit    `json:"edits"`
	Effects  []Effect  `json:"effects"`
	Worse    []Finding `json:"worse" doc:"what the act brings about"`
}

// Edit is one edit of the file, or one act of several that the server works out: take_out and duplicate.
type Edit struct {
	Set       string `json:"set,omitempty"`
	Remove    string `json:"remove,omitempty"`
	Rename    string `json:"rename,omitempty" doc:"a path; all that speaks of it is mended with it"`
	TakeOut   string `json:"take_out,omitempty" doc:"path of a machine: it goes with all that speaks of it; pipes stay, ended in a cap"`
	Duplicate string `json:"duplicate,omitempty" doc:"path of a thing with a name: a copy named 'to' comes right after it; of a machine it stands nowhere yet"`
	Insert    *Value `json:"insert,omitempty"`
	Before    string `json:"before,omitempty"`
	After     string `json:"after,omitempty"`
	To        *Value `json:"to,omitempty"`
	Was       *Value `json:"was,omitempty"`
}

// Effect is what an act does to one port.
type Effect struct {
	Port        string  `json:"port"`
	Before      float64 `json:"gets_before_m3s"`
	After       float64 `json:"gets_after_m3s"`
	NeedsBefore float64 `json:"needs_before_m3s"`
	NeedsAfter  float64 `json:"needs_after_m3s"`
	// With are the machines that run besides the port's own.
	With []string `json:"with"`
}

// Remedies turns acts into their shape.
func Remedies(rs []shop.Remedy, sys unit.System, place func(shop.Path) (line, column int)) []Remedy {
	out := make([]Remedy, 0, len(rs))
	for _, r := range rs {
		w := Remedy{Code: r.What.Name, Sentence: r.Sentence(sys), Free: r.Free, Edits: []Edit{}, Effects: []Effect{}, Worse: Findings(r.Worse, sys, place)}
		if r.Price.Amount.Best > 0 {
			w.Price = r.Price.Print()
		}
		for _, x := range r.Edits {
			w.Edits = append(w.Edits, Edit{
				Set: string(x.Set), Remove: string(x.Remove), Rename: string(x.Rename), Insert: valueOf(x.Insert), Before: string(x.Before),
				After: string(x.After), To: valueOf(x.To), Was: valueOf(x.Was),
			})
		}
		for _, f := range r.Effects {
			w.Effects = append(w.Effects, Effect{f.Port.String(), float64(f.Before), float64(f.After), float64(f.NeedsBefore), float64(f.NeedsAfter), idsOf(f.With)})
		}
		out = append(out, w)
	}
	return out
}

func idsOf(ids []shop.ID) []string {
	out := []string{}
	for _, id := range ids {
		out = append(out, string(id))
	}
	return out
}

// Shop turns a plain edit as sent into the shop's own. An act of several is the server's to work out.
func (e Edit) Shop() shop.Edit {
	out := shop.Edit{
		Set: shop.Path(e.Set), Remove: shop.Path(e.Remove), Rename: shop.Path(e.Rename), Before: shop.Path(e.Before), After: shop.Path(e.After),
	}
	if e.Insert != nil {
		out.Insert = &e.Insert.Value
	}
	if e.To != nil {
		out.To = &e.To.Value
	}
	if e.Was != nil {
		out.Was = &e.Was.Value
	}
	return out
}
