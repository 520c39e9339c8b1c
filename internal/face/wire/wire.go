// Package wire holds the envelope and the name of every --json shape, one for command and page, so that a script
// written today still reads the answer in ten years.
//
// It refuses to know how an answer is computed or shown. Keys are snake_case and end in the SI unit they carry
// (gets_m3s); a number that is not known is left out, never NaN. Start reading at Envelope.
package wire

import (
	"encoding/json"
	"fmt"
	"io"
)

// Envelope is the outermost object of every answer.
type Envelope struct {
	Shape  string `json:"shape"`  // name and version: "airflow/1"
	Winnow string `json:"winnow"` // version of the program
	Answer any    `json:"answer"`
}

// Write writes one answer, indented, with a newline at its end.
func Write(w io.Writer, e Envelope) error {
	text, err := json.MarshalIndent(e, "", "  ")
	if err != nil {
		return fmt.Errorf("the answer %s cannot be written as JSON: %w", e.Shape, err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}
