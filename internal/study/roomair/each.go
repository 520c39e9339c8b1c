package roomair

import (
	"runtime"
	"sync"
)

// each does n independent things on as many goroutines as there are processors. A fault of ours in one of them is handed to
// the caller's goroutine, whose face knows what to say.
func each(n int, do func(i int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	var broke sync.Once
	var panicked any
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					broke.Do(func() { panicked = p })
					for range next { // let the others end
					}
				}
			}()
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	if panicked != nil {
		panic(panicked)
	}
}

// ratios are what each layout leaves of today's dose, with the same draws. A layout that is nil is left out.
func (st *study) ratios(layouts []*layout) []left {
	out := make([]left, len(layouts))
	each(len(layouts), func(i int) {
		if layouts[i] == nil {
			return
		}
		after := layouts[i].run(st.in.Belief, st.of, false)
		out[i] = left{st.ratio(after, 0), st.ratio(after, 2)}
	})
	return out
}

// left is what of today's dose is left.
type left struct{ inhalable, respirable Span }
