package cli

import (
	"bytes"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestBusySpeaksOnlyAfterAWhile(t *testing.T) {
	for _, c := range []struct {
		takes time.Duration
		says  bool
	}{{patience / 2, false}, {2 * patience, true}} {
		synctest.Test(t, func(t *testing.T) {
			var bar bytes.Buffer
			e := &env{bar: &bar}
			done := e.busy("trying every setting")
			time.Sleep(c.takes)
			synctest.Wait()
			done()
			if strings.Contains(bar.String(), "trying") != c.says {
				t.Errorf("after %v: %q", c.takes, bar.String())
			}
			if c.says && !strings.HasSuffix(bar.String(), "\r\x1b[K") {
				t.Errorf("the line is left behind: %q", bar.String())
			}
		})
	}
	(&env{}).busy("nobody sits here")()
}
