package shop

import (
	"strings"

	"winnow/internal/unit"
)

// Severity ranks findings.
type Severity uint8

// From the mildest to the worst.
const (
	Note Severity = iota
	WatchOut
	Problem
)

func (s Severity) String() string { return [...]string{"note", "watch out", "problem"}[s] }

// Code is a kind of finding: its stable name, the sentence as a template, and what helps.
// In the sentence {name} is replaced by the argument of that name.
type Code struct {
	Name     string // stable, kebab-case: tests and --json hang on it
	Severity Severity
	Sentence string
	Help     string // what to do next, or what it means
}

// Arg is one number or word of a finding, in SI.
type Arg struct {
	Name  string
	Print func(unit.System) string // how it is written for the owner
	Value float64                  // SI; NaN never
	Word  string                   // for words
	Unit  string                   // suffix of the SI unit in --json: "_m3s", "_pa", "_m"
}

// Finding is something found out about the shop. Its sentence is made at the edge, in the owner's units.
type Finding struct {
	Code      *Code
	Where     Path
	Args      []Arg
	Because   []Arg
	Remedies  []Remedy
	Source    string
	DependsOn string // name of the code it follows from: shown under its cause
	In        ID     // the arrangement it holds in, where that is not the first
}

// Remedy is edits that were re-solved, with what they do.
type Remedy struct {
	What    *Code // the act in words
	Args    []Arg
	Edits   []Edit
	Free    bool
	Price   unit.Money // of an option of the file; zero where it is not known
	Effects []Effect
	// Worse are findings that the act brings about: a pipe in which chips settle now.
	Worse []Finding
}

// Effect is what a remedy does to one port, that of the machine it is for or of another it touches.
type Effect struct {
	Port                    PortRef
	Before, After           unit.M3PerSec // what it gets
	NeedsBefore, NeedsAfter unit.M3PerSec // what its chips need
	With                    []ID          // machines that run besides the port's own; empty: it runs alone
}

// Sentence writes the act for the owner.
func (r Remedy) Sentence(sys unit.System) string { return fill(r.What.Sentence, r.Args, sys) }

// Sentence writes the finding for the owner.
func (f Finding) Sentence(sys unit.System) string {
	s := fill(f.Code.Sentence, f.Args, sys)
	if f.In != "" {
		s = "As " + f.In + ": " + s
	}
	return s
}

func fill(template string, args []Arg, sys unit.System) string {
	pairs := make([]string, 0, 2*len(args))
	for _, a := range args {
		pairs = append(pairs, "{"+a.Name+"}", a.Text(sys))
	}
	return strings.NewReplacer(pairs...).Replace(template)
}

// Text is the argument as the owner reads it.
func (a Arg) Text(sys unit.System) string {
	if a.Print == nil {
		return a.Word
	}
	return a.Print(sys)
}

// Word is an argument that is a name or a word.
func Word(name, word string) Arg { return Arg{Name: name, Word: word} }

// Number is an argument that is a quantity.
func Number[T unit.Real](name string, v T) Arg {
	return Arg{Name: name, Value: float64(v), Unit: unit.Suffix[T](), Print: func(s unit.System) string { return unit.Print(v, s) }}
}
