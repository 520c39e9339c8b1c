// Package doubt names every uncertain factor of the shop and draws them, so that the whole project doubts the
// same things in the same way: before and after a change, at every gate, in every study.
//
// It refuses to know physics: a factor is a name and a width; what it multiplies is the study's business.
// Start reading at Factor, then Belief.
package doubt

import (
	"math"
	"sync"
)

// Samples is the usual number of draws. Measured on a nine-factor toy of a fan and a hose, the keyed stratified
// draws below give the 5th and 95th percentile to about 1 % with 512, not with 256.
const Samples = 512

// Key names one independent uncertainty, e.g. "kind/ribbed hose/friction" or "part/systems/collector/…/hose 1".
// The draws of a key depend on its name alone: adding a machine reshuffles nothing for the others.
type Key string

// Term is one key's part in a factor. The weights of a factor's terms are the cosines of its correlation with each:
// their squares add up to 1.
type Term struct {
	Key    Key
	Weight float64
}

// Factor is one multiplier around 1: 90 % of it lies between Low and High. In the logarithm it is a two-piece normal
// with its median at 1, so a lopsided band stays lopsided.
type Factor struct {
	Terms     []Term
	Low, High float64
}

// Own is a factor with a single key.
func Own(key Key, low, high float64) Factor {
	return Factor{Terms: []Term{{key, 1}}, Low: low, High: high}
}

// Shared is a factor of which the share (0 to 1, of the variance) is common to everything that names the same key,
// and the rest is the part's own. Independent draws for twenty hoses would average the doubt away.
func Shared(common Key, share float64, own Key, low, high float64) Factor {
	return Factor{Terms: []Term{{common, math.Sqrt(share)}, {own, math.Sqrt(1 - share)}}, Low: low, High: high}
}

// z95 is the standard normal quantile of 0.95: a 90 % range is ±z95 standard deviations.
const z95 = 1.6448536269514722

// At returns the multiplier at z, a standard normal number: exp(z·s) with s from Low below 1 and from High above.
func (f Factor) At(z float64) float64 {
	edge := f.High
	if z < 0 {
		edge, z = f.Low, -z
	}
	if edge <= 0 {
		return 1
	}
	return math.Pow(edge, z/z95)
}

// Values returns At for many z at once.
func (f Factor) Values(zs []float64) []float64 {
	low, high := 0.0, 0.0
	if f.Low > 0 {
		low = -math.Log(f.Low) / z95
	}
	if f.High > 0 {
		high = math.Log(f.High) / z95
	}
	out := make([]float64, len(zs))
	for i, z := range zs {
		s := high
		if z < 0 {
			s = low
		}
		out[i] = math.Exp(s * z)
	}
	return out
}

// Exact reports whether the factor leaves no doubt.
func (f Factor) Exact() bool { return (f.Low == 1 || f.Low <= 0) && (f.High == 1 || f.High <= 0) }

// Belief is what is believed of every key: the prior, or one fitted to readings. It is an argument of every study.
// The zero value is the prior. It is safe for several workers at once.
type Belief struct {
	mu    sync.Mutex
	draws map[drawsKey][]float64
}

type drawsKey struct {
	key Key
	of  int
}

// Prior is the belief before any reading.
func Prior() *Belief { return &Belief{} }

// Draws returns the standard normal numbers of a factor: index 0 is the best estimate (0), 1 to `of` are the samples.
// The slice belongs to the belief where the factor has one term: do not write to it.
func (b *Belief) Draws(f Factor, of int) []float64 {
	if len(f.Terms) == 1 && f.Terms[0].Weight == 1 {
		return b.normals(f.Terms[0].Key, of)
	}
	sum := make([]float64, of+1)
	for _, t := range f.Terms {
		for i, z := range b.normals(t.Key, of) {
			sum[i] += t.Weight * z
		}
	}
	return sum
}

// KeyDraws returns the standard normal numbers of one key, as Draws does for a factor. Do not write to them.
func (b *Belief) KeyDraws(key Key, of int) []float64 { return b.normals(key, of) }

// Factor returns the multiplier of one sample; sample 0 is the best estimate.
func (b *Belief) Factor(f Factor, sample, of int) float64 {
	var z float64
	for _, t := range f.Terms {
		z += t.Weight * b.normals(t.Key, of)[sample]
	}
	return f.At(z)
}

// normals are the draws of one key: the middles of `of` equally likely slices of the normal distribution, in an order
// shuffled by the key's name. Each key is stratified by itself, so there is no limit to the number of keys.
func (b *Belief) normals(key Key, of int) []float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	if z, ok := b.draws[drawsKey{key, of}]; ok {
		return z
	}
	z := make([]float64, of+1)
	for i := range of {
		z[i+1] = normalQuantile((float64(i) + 0.5) / float64(of))
	}
	shuffle(z[1:], hash(string(key)))
	if b.draws == nil {
		b.draws = map[drawsKey][]float64{}
	}
	b.draws[drawsKey{key, of}] = z
	return z
}

// normalQuantile is the inverse of the standard normal distribution, by the library's inverse error function.
func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// hash is FNV-1a, 64 bits.
func hash(s string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * 1099511628211
	}
	return h
}

// shuffle is Fisher and Yates' with the splitmix64 generator, so that an order is a function of its seed on every
// machine and in every version of Go.
func shuffle(x []float64, seed uint64) {
	for i := len(x) - 1; i > 0; i-- {
		seed += 0x9E3779B97F4A7C15
		r := seed
		r = (r ^ r>>30) * 0xBF58476D1CE4E5B9
		r = (r ^ r>>27) * 0x94D049BB133111EB
		r ^= r >> 31
		j := int(r % uint64(i+1))
		x[i], x[j] = x[j], x[i]
	}
}
