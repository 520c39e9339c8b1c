package desk

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// keptDrafts is how many drafts are kept; the oldest go.
const keptDrafts = 50

// draft keeps a text that could not become a revision, and returns where; empty if it could not be kept.
func (d *Desk) draft(text []byte) string {
	folder := filepath.Join(d.history.folder, "drafts")
	if d.history.foreign || os.MkdirAll(folder, 0o755) != nil {
		return ""
	}
	d.history.guard()
	names := draftNames(folder)
	if len(names) > 0 {
		last := filepath.Join(folder, names[len(names)-1])
		if same, err := os.ReadFile(last); err == nil && bytes.Equal(same, text) {
			return last
		}
	}
	number := 1
	if len(names) > 0 {
		_, _ = fmt.Sscanf(names[len(names)-1], "draft %d", &number)
		number++
	}
	path := filepath.Join(folder, fmt.Sprintf("draft %05d.yaml", number))
	if writeWhole(path, text) != nil {
		return ""
	}
	for _, old := range names[:max(0, len(names)+1-keptDrafts)] {
		_ = os.Remove(filepath.Join(folder, old))
	}
	return path
}

func draftNames(folder string) []string {
	entries, _ := os.ReadDir(folder)
	var names []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "draft ") && strings.HasSuffix(e.Name(), ".yaml") {
			names = append(names, e.Name())
		}
	}
	slices.Sort(names)
	return names
}

// Drafts lists the texts that could not become revisions, oldest first.
func (d *Desk) Drafts() []string {
	folder := filepath.Join(d.history.folder, "drafts")
	names := draftNames(folder)
	for i := range names {
		names[i] = filepath.Join(folder, names[i])
	}
	return names
}
