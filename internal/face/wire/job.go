package wire

import "winnow/internal/study/gates"

// JobAsk begins something that takes longer than a page waits for.
type JobAsk struct {
	Kind    string `json:"kind" enum:"prove" doc:"prove: look for a way in which the controller of this shop could break one of its rules"`
	Rev     int    `json:"rev,omitempty" doc:"of which revision; 0: the latest"`
	Seconds int    `json:"seconds,omitempty" minimum:"0" maximum:"600" doc:"how long it may take; 0: a minute"`
}

// Job is how far it has got. Over /events it comes as the event 'job', without its answer.
type Job struct {
	ID    string  `json:"id"`
	Kind  string  `json:"kind" enum:"prove"`
	Rev   int     `json:"rev"`
	State string  `json:"state" enum:"running,done,stopped,failed" doc:"done: by itself or by its time limit; stopped: by somebody, and what was found until then is the answer"`
	Took  float64 `json:"took_s"`
	Limit float64 `json:"limit_s"`
	Parts int     `json:"parts" doc:"of how many looks it is made; 0 until that is known"`
	Done  int     `json:"parts_done"`
	Count int     `json:"count" doc:"of prove: states looked at so far"`
	Why   string  `json:"why,omitempty" doc:"why it failed, and what to do"`
	Proof *Proof  `json:"proof,omitempty"`
}

// Proof is what `winnow gates prove` answers.
type Proof struct {
	Shop     string        `json:"shop"`
	Systems  []SystemProof `json:"systems"`
	Findings []Finding     `json:"findings"`
}

// SystemProof is the proof of one controller: of a system, or of an air cleaner that starts by itself.
type SystemProof struct {
	System     string              `json:"system"`
	Stations   int                 `json:"stations"`
	Gates      int                 `json:"gates"`
	Sets       gates.SetCount      `json:"sets"`
	Runs       []gates.ProofResult `json:"runs"`
	NotCovered []string            `json:"not_covered"`
}
