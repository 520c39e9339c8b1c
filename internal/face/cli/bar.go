package cli

import (
	"fmt"
	"sync"
	"time"
)

// patience is how long a command may be silent before it says what it is at.
const patience = 300 * time.Millisecond

// busy says what the program is at if that takes longer than patience; done wipes it. Where nobody sits, nothing is written.
func (e *env) busy(what string) (done func()) {
	if e.bar == nil {
		return func() {}
	}
	var lock sync.Mutex
	shown, over := false, false
	timer := time.AfterFunc(patience, func() {
		lock.Lock()
		defer lock.Unlock()
		if !over {
			shown = true
			fmt.Fprintf(e.bar, "\r%s; Ctrl-C ends it\x1b[K", what)
		}
	})
	return func() {
		timer.Stop()
		lock.Lock()
		defer lock.Unlock()
		if over = true; shown {
			fmt.Fprint(e.bar, "\r\x1b[K")
		}
	}
}
