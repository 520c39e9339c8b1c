package cli

import "slices"

// What each command's studies read of the file; the rest is named as not looked at. A test holds the lists against the grammar.
var (
	airflowReads = []string{"winnow", "name", "note", "units", "site", "room", "machines", "systems", "arrangements", "routine", "control"}
	airReads     = append(slices.Clone(airflowReads), "air cleaners", "respirators", "options", "costs")
	powerReads   = append(slices.Clone(airflowReads), "circuits", "other loads", "air cleaners", "options", "costs")
	checkReads   = slices.Concat(airReads, powerReads, []string{"stock"})
	// laterReads are what no study looks at yet.
	laterReads = []string{"sensors", "wishes", "spares", "readings"}
)

// notLookedAt are the sections of the file that a command did not use.
func notLookedAt(o *opened, reads []string) []string {
	return slices.DeleteFunc(slices.Clone(o.sections()), func(s string) bool { return slices.Contains(reads, s) })
}
