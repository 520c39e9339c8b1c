package airflow

import (
	"winnow/internal/physics/duct"
	"winnow/internal/physics/fan"
	"winnow/internal/physics/network"
	"winnow/internal/shop"
	"winnow/internal/study/doubt"
	"winnow/internal/unit"
)

// How wide each uncertainty is and what shares it: the prior. All judgement unless the factor comes with a band of its
// own; source [S-211]. Density (±2 %) is left out: fan and losses go with it alike, and the flow hardly moves.
const (
	fittingTable = 0.15 // a table's bias, common to all fittings of the shop
	fittingOwn   = 0.20 // one fitting's own
	rigidDoubt   = 0.10 // friction of rigid pipe, common
	lengthDoubt  = 0.05 // a written length
	curveOwn     = fan.MakerCurveDoubt
	hoodShare    = 0.0 // a machine's mouth is its own
)

func plusMinus(x float64) (low, high float64) { return 1 / (1 + x), 1 + x }

// fittingDoubt: the table's bias is common to all fittings, the rest is the fitting's own. A band wider or narrower than
// the usual (a kink, a separator, an owner's figure) is the part's own.
func (b *builder) fittingDoubt(at shop.Path, k duct.Coefficient) []doubted {
	if !(k.K > 0) {
		return nil
	}
	low, high := k.Low/k.K, k.High/k.K
	if low <= 0 {
		low = 1e-2
	}
	// The share of the variance that the table's bias has in its usual sum with the fitting's own.
	const share = fittingTable * fittingTable / (fittingTable*fittingTable + fittingOwn*fittingOwn)
	return []doubted{{on: onK, factor: doubt.Shared("fittings/table", share, part(at, k.What), low, high)}}
}

// frictionDoubt: rigid pipe shares one doubt, each kind of hose one of its own; so does true bore; length is the part's.
func (b *builder) frictionDoubt(at shop.Path, w duct.Wall, length, bore unit.Amount[unit.Metre]) []doubted {
	kind := doubt.Key("kind/" + w.Kind)
	var ds []doubted
	if w.Darcy.Best > 0 {
		ds = append(ds, doubted{on: onFriction, factor: doubt.Own(kind+"/friction", float64(w.Darcy.Low/w.Darcy.Best), float64(w.Darcy.High/w.Darcy.Best))})
	} else {
		low, high := plusMinus(rigidDoubt)
		ds = append(ds, doubted{on: onFriction, factor: doubt.Own("pipe/friction", low, high)})
	}
	low, high := plusMinus(lengthDoubt)
	if length.Low < length.High && length.Best > 0 {
		low, high = float64(length.Low/length.Best), float64(length.High/length.Best)
	}
	ds = append(ds, doubted{on: onFriction, factor: doubt.Own(part(at, "length"), low, high)})
	if bore.Low < bore.High {
		ds = append(ds, doubted{on: onBore, factor: doubt.Own(kind+"/bore", float64(bore.Low/bore.Best), float64(bore.High/bore.Best))})
	}
	return ds
}

// joinDoubt is the band of a leg's own coefficient, half of it common to all junctions. It lies on the far side of the momentum
// balance: a wye can lose more than that, hardly less, so the best estimate stays the median.
func joinDoubt(at shop.Path, leg network.Leg, n int, k duct.Coefficient) []doubted {
	name := [2]string{"through", "branch"}[leg]
	return []doubted{{on: onK, factor: doubt.Shared("wyes/model", 0.5, part(at, name+string(rune('0'+n))), k.K/k.High, k.High/k.K)}}
}

func mouthDoubt(at shop.Path, m duct.Mouth) []doubted {
	f := m.Loss()
	if !(f.K > 0) {
		return nil
	}
	return []doubted{{on: onK, factor: doubt.Own(part(at, "mouth"), max(0.02, f.Low/f.K), f.High/f.K)}}
}

func leakDoubt(common doubt.Key, at shop.Path, l duct.Leak) doubted {
	if common == "" {
		return doubted{on: onLeak, factor: doubt.Own(part(at, "opening"), l.Low, l.High)}
	}
	return doubted{on: onLeak, factor: doubt.Shared(common, 0.5, part(at, "leak"), l.Low, l.High)}
}

// fanDoubt: shut-off, free air and the bend of the curve, all the fan's own; what is better in one tends to be in the other.
func fanDoubt(at shop.Path, e fanEstimate) []doubted {
	if e.curve != nil {
		low, high := plusMinus(curveOwn)
		return []doubted{
			{on: onFlow, factor: doubt.Own(part(at, "fan flow"), low, high)},
			{on: onPressure, factor: doubt.Own(part(at, "fan pressure"), low, high)},
		}
	}
	band := func(a, low, high float64) (float64, float64) { return low / a, high / a }
	pLow, pHigh := band(float64(e.ShutOff.Best), float64(e.ShutOff.Low), float64(e.ShutOff.High))
	qLow, qHigh := band(float64(e.FreeAir.Best), float64(e.FreeAir.Low), float64(e.FreeAir.High))
	nLow, nHigh := band(float64(e.Exponent.Best), float64(e.Exponent.Low), float64(e.Exponent.High))
	const c = fan.Correlation
	return []doubted{
		{on: onPressure, factor: doubt.Own(part(at, "fan pressure"), pLow, pHigh)},
		{on: onFlow, factor: doubt.Shared(part(at, "fan pressure"), c*c, part(at, "fan flow"), qLow, qHigh)},
		{on: onExponent, factor: doubt.Own(part(at, "fan exponent"), nLow, nHigh)},
	}
}

// filterDoubt: half to double, for what the fabric is and how it is loaded.
func filterDoubt(system shop.ID) []doubted {
	return []doubted{{on: onResistance, factor: doubt.Own(part(shop.SystemPath(system), "filter"), 0.5, 2)}}
}

// part is the key of one part's own doubt.
func part(at shop.Path, what string) doubt.Key { return doubt.Key("part/" + string(at) + "/" + what) }
