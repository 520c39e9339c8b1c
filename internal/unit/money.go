package unit

import (
	"math"
	"strings"
)

// Money is a sum with its doubt, in one currency. Nothing is ever converted: a shop buys in one.
type Money struct {
	Amount Amount[Number]
	Code   string // ISO 4217, "USD"
}

// MoneyPer is a price per something: for T Joule the price of energy, for T Second a budget. Amount is per one SI unit,
// so a price of 0.17 USD/kWh is 4.7e-8 per joule.
type MoneyPer[T Real] struct {
	Amount Amount[Number]
	Code   string
}

// ParseMoney reads `95 USD`, `60 to 110 EUR`, `300 CAD ± 20 %`. Errors are *ParseError.
func ParseMoney(text string) (Money, error) {
	m := purse{}
	r, err := m.read(text)
	if err != nil {
		return Money{}, err
	}
	return Money{Amount: amountOf(r), Code: m.code}, nil
}

// ParseMoneyPer reads `0.17 USD/kWh`, `300 USD per month`. Errors are *ParseError.
func ParseMoneyPer[T Real](text string) (MoneyPer[T], error) {
	var zero T
	m := purse{per: books[zero.Dimension()]}
	r, err := m.read(text)
	if err != nil {
		return MoneyPer[T]{}, err
	}
	return MoneyPer[T]{Amount: amountOf(r), Code: m.code}, nil
}

func amountOf(r reading) Amount[Number] {
	return Amount[Number]{Best: Number(r.best), Low: Number(r.low), High: Number(r.high), Basis: r.basis}
}

// purse reads currencies in the place of units.
type purse struct {
	code   string
	mixed  bool  // two currencies in one sum
	misfit bool  // a currency, but not per what it should be
	per    *book // nil for a plain sum
}

func (m *purse) wanted() Dimension {
	if m.per == nil {
		return "money"
	}
	return m.per.dim
}

var moneyBook = &book{dim: "money"}

func (m *purse) read(text string) (reading, *ParseError) {
	s := scanner{text: text, book: moneyBook, find: m.find}
	r, err := s.amount()
	switch {
	case err == nil && m.mixed:
		err = s.fail(Mixed, 0, len(text))
	case err == nil && r.low < 0:
		err = s.fail(Negative, 0, len(text))
	case err != nil && m.misfit:
		err.Problem, err.Nearest, err.Write, err.Word, err.Offset, err.Wanted = NoPrice, "", "", text, 0, m.wanted()
		if m.per == nil {
			err.Problem = NoMoney
		}
	case err != nil && (err.Problem == UnknownUnit || err.Problem == NoUnit || err.Problem == NoNumber || err.Problem == WrongKind):
		err.Problem, err.Nearest, err.Given, err.Write = NoMoney, "", "", m.meant(text)
	}
	return r, err
}

// find makes a unit of a currency code, or of one per something.
func (m *purse) find(word string) *def {
	code, rest := word, ""
	if i := strings.IndexByte(word, '/'); i > 0 {
		code, rest = strings.TrimSpace(word[:i]), strings.TrimSpace(word[i+1:])
	} else if a, b, ok := strings.Cut(word, " per "); ok {
		code, rest = strings.TrimSpace(a), strings.TrimSpace(b)
	} else if a, b, ok := strings.Cut(word, " a "); ok {
		code, rest = strings.TrimSpace(a), strings.TrimSpace(b)
	}
	code = strings.ToUpper(code)
	if !knownCode(code) {
		return nil
	}
	if m.misfit = (rest == "") != (m.per == nil); m.misfit {
		return nil
	}
	d := &def{name: word, si: 1, mul: 1, per: 1, dim: "money"}
	if m.per != nil {
		u := m.per.find(rest)
		if m.misfit = u == nil || u.zero != 0 || u.flag&gauge != 0; m.misfit {
			return nil
		}
		d.si, d.mul, d.per = u.per/u.mul, u.per, u.mul
	}
	if m.code != "" && m.code != code {
		m.mixed = true
	}
	m.code = code
	return d
}

var signs = []struct{ sign, code string }{{"US$", "USD"}, {"C$", "CAD"}, {"A$", "AUD"}, {"$", "USD"}, {"€", "EUR"}, {"£", "GBP"}, {"¥", "JPY"}}

// meant turns $95 and 95 € into their codes.
func (m *purse) meant(text string) string {
	for _, s := range signs {
		if a, b, ok := strings.Cut(text, s.sign); ok {
			number, tail := strings.TrimSpace(a+b), ""
			if i := strings.IndexAny(number, "/"); i > 0 {
				number, tail = strings.TrimSpace(number[:i]), number[i:]
			} else if i := strings.Index(number, " per "); i > 0 {
				number, tail = number[:i], number[i:]
			}
			try := number + " " + s.code + tail
			again := purse{per: m.per}
			if _, err := again.read(try); err == nil {
				return try
			}
		}
	}
	return ""
}

// Print writes 95 USD, "85 USD, likely 60 to 110 USD", 0.17 USD: whole units from 10 up, two decimals under it. Sums are
// counted, not measured, so they are not cut to three figures.
func (m Money) Print() string {
	switch m.Amount.Basis {
	case Unsaid:
		return "unknown"
	case Absent:
		return "none"
	}
	best := coins(float64(m.Amount.Best)) + " " + m.Code
	if !m.Amount.Ranged() {
		return best
	}
	low, high := coins(float64(m.Amount.Low)), coins(float64(m.Amount.High))
	if low == high {
		return best
	}
	return best + ", likely " + low + " to " + high + " " + m.Code
}

// PrintIn writes a price per the named unit: 0.17 USD/kWh, 300 USD/month. A unit that does not fit T panics.
func (m MoneyPer[T]) PrintIn(unit string) string {
	switch m.Amount.Basis {
	case Unsaid:
		return "unknown"
	case Absent:
		return "none"
	}
	var zero T
	d := mustUnit(zero.Dimension(), unit)
	name := d.name
	if one, plural := strings.CutSuffix(name, "s"); plural && one != "" && d.dim == "time" {
		name = one // per month, not per months
	}
	return coins(float64(m.Amount.Best)*d.mul/d.per) + " " + m.Code + "/" + name
}

// coins rounds a sum.
func coins(x float64) string {
	if s, is := odd(x); is {
		return s
	}
	k := -2
	if math.Abs(x) >= 9.995 {
		k = 0
	} else if a := math.Abs(x); a > 0 && a < 0.1 {
		k = max(order(a)-1, -6) // 0.052 USD/kWh
	}
	k = max(k, order(math.Abs(x))-8)
	return decimal(whole(x/pow10(k)), k)
}

func knownCode(code string) bool {
	return len(code) == 3 && strings.Contains(codes, code+" ")
}

// The codes of ISO 4217 in daily use.
const codes = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD " +
	"CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD " +
	"HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD " +
	"MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG " +
	"QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS " +
	"UAH UGX USD UYU UZS VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW "
