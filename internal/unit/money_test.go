package unit

import "testing"

func TestMoney(t *testing.T) {
	for text, want := range map[string]string{
		"95 USD": "95 USD", "1180 USD": "1180 USD", "60 to 110 USD": "85 USD, likely 60 to 110 USD", "95 usd": "95 USD", "60 USD to 110 USD": "85 USD, likely 60 to 110 USD",
		"4.5 EUR": "4.5 EUR", "12345 JPY": "12345 JPY", "100 CAD ± 20 %": "100 CAD, likely 80 to 120 CAD", "unknown": "unknown", "none": "none", "0 USD": "0 USD",
	} {
		m, err := ParseMoney(text)
		if err != nil || m.Print() != want {
			t.Errorf("%q: got %q, %v; want %q", text, m.Print(), err, want)
		}
	}
	for text, want := range map[string]string{
		"$95":               "$95 names no currency; money is written 95 USD or 60 to 110 EUR: write 95 USD",
		"95 €":              "€ names no currency; money is written 95 USD or 60 to 110 EUR: write 95 EUR",
		"95":                "95 names no currency; money is written 95 USD or 60 to 110 EUR",
		"95 gal":            "95 gal names no currency; money is written 95 USD or 60 to 110 EUR",
		"1,180 USD":         "the comma in 1,180 can be read in two ways: write 1180 USD",
		"60 USD to 110 EUR": "60 USD to 110 EUR does not add up",
		"-5 USD":            "-5 USD is less than nothing",
		"300 USD/month":     "300 USD/month names no currency; money is written 95 USD or 60 to 110 EUR",
	} {
		if m, err := ParseMoney(text); err == nil || err.Error() != want {
			t.Errorf("%q: got %v, %v; want %q", text, m, err, want)
		}
	}
}

func TestPrices(t *testing.T) {
	// 1 kWh is 3.6e6 J; a month is 365.25/12 days of 86400 s.
	e, err := ParseMoneyPer[Joule]("0.17 USD/kWh")
	if err != nil || e.Code != "USD" || !near(float64(e.Amount.Best), 0.17/3.6e6, 1e-12) || e.PrintIn("kWh") != "0.17 USD/kWh" {
		t.Errorf("got %+v, %v, %s", e, err, e.PrintIn("kWh"))
	}
	b, err := ParseMoneyPer[Second]("300 USD per month")
	if err != nil || !near(float64(b.Amount.Best), 300*12/(365.25*86400), 1e-12) || b.PrintIn("months") != "300 USD/month" || b.PrintIn("year") != "3600 USD/year" {
		t.Errorf("got %+v, %v", b, err)
	}
	if g, err := ParseMoneyPer[Joule]("1.2 USD/therm"); err != nil || g.PrintIn("kWh") != "0.041 USD/kWh" { // 1 therm is 29.307 kWh
		t.Errorf("gas: %v, %v", g, err)
	}
	if none, err := ParseMoneyPer[Joule]("unknown"); err != nil || none.PrintIn("kWh") != "unknown" {
		t.Errorf("unknown: %v, %v", none, err)
	}
	for text, want := range map[string]string{
		"0.17 USD":   "0.17 USD is no price per energy; one is written 0.17 USD/kWh",
		"0.17 USD/h": "0.17 USD/h is no price per energy; one is written 0.17 USD/kWh",
		"$0.17/kWh":  "$0.17/kWh names no currency; money is written 95 USD or 60 to 110 EUR: write 0.17 USD/kWh",
	} {
		if m, err := ParseMoneyPer[Joule](text); err == nil || err.Error() != want {
			t.Errorf("%q: got %v, %v; want %q", text, m, err, want)
		}
	}
}
