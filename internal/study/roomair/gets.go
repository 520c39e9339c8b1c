package roomair

import (
	"winnow/internal/shop"
	"winnow/internal/study/airflow"
	"winnow/internal/unit"
)

// Gets reads what each port gets off solved settings: with its range where the draws were solved, else the best
// estimate. Only settings with one machine running count, and the first that names a port.
func Gets(results []airflow.Result) Airflow {
	out := Airflow{}
	for _, r := range results {
		if !r.Solved || len(r.Setting.Running) != 1 {
			continue
		}
		for _, p := range r.Ports {
			if _, seen := out[p.Port]; seen {
				continue
			}
			q := unit.Exactly(p.Gets)
			if p.Range != nil {
				q.Low, q.High = min(p.Gets, unit.M3PerSec(p.Range.Low)), max(p.Gets, unit.M3PerSec(p.Range.High))
			}
			out[p.Port] = q
		}
	}
	return out
}

// Fans is the most that each system's fan moves over the sets that are allowed, with its range. What blows outdoors is more
// than the ports get: ducts leak, and what stands idle draws too.
type Fans map[shop.ID]unit.Amount[unit.M3PerSec]

// FansOf reads it off solved settings.
func FansOf(results []airflow.Result) Fans {
	out := Fans{}
	for _, r := range results {
		if !r.Solved {
			continue
		}
		q := unit.Exactly(r.Fan.Flow)
		if r.Fan.Range != nil {
			q.Low, q.High = min(q.Best, unit.M3PerSec(r.Fan.Range.Low)), max(q.Best, unit.M3PerSec(r.Fan.Range.High))
		}
		have := out[r.System]
		if q.Best > have.Best {
			q.High = max(q.High, have.High)
			out[r.System] = q
		} else if q.High > have.High {
			have.High = q.High
			out[r.System] = have
		}
	}
	return out
}

// portOf finds a port's airflow: a machine with one port may be named with or without it.
func (a Airflow) portOf(ref shop.PortRef, only bool) (unit.Amount[unit.M3PerSec], bool) {
	if q, ok := a[ref]; ok {
		return q, true
	}
	if only {
		for r, q := range a {
			if r.Machine == ref.Machine {
				return q, true
			}
		}
	}
	return unit.Amount[unit.M3PerSec]{}, false
}
