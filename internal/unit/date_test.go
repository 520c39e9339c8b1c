package unit

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The calendar of the standard library is the outside source here; the package itself may not know the clock.
func TestDatesAgainstCalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-719162, 2932896).Draw(t, "days") // 0001-01-01 to 9999-12-31
		want := time.Unix(int64(n)*86400, 0).UTC()
		d := DateOf(n)
		if d.String() != want.Format(time.DateOnly) || d.Number() != n || d.Weekday() != int(want.Weekday()) || !d.Valid() {
			t.Fatalf("day %d: got %s, number %d, weekday %d; want %s, %d", n, d, d.Number(), d.Weekday(), want.Format(time.DateOnly), want.Weekday())
		}
		back, err := ParseDate(d.String())
		if err != nil || back != d {
			t.Fatalf("%s parses to %v, %v", d, back, err)
		}
	})
}

func TestDates(t *testing.T) {
	a, b := Date{2026, 3, 1}, Date{2026, 2, 11}
	if d, err := ParseDate("2000-02-29"); err != nil || d.Add(1) != (Date{2000, 3, 1}) {
		t.Errorf("2000 is a leap year: %v, %v", d, err)
	}
	if a.Since(b) != 18 || !b.Before(a) || b.Add(18) != a {
		t.Errorf("2026-02-11 to 2026-03-01: %d days", a.Since(b))
	}
	for _, bad := range []string{"2026-02-30", "2025-02-29", "1900-02-29", "2200-02-29", "2026-13-01", "2026-00-10", "26-03-01", "2026-3-1", "01/03/2026", "2026-03-01T00:00", "", "0000-01-01"} {
		if d, err := ParseDate(bad); err == nil {
			t.Errorf("%q: got %v", bad, d)
		}
	}
	if _, err := ParseDate("2026-02-30"); err == nil || err.Error() != "2026-02-30 is no day of the calendar; a date is written 2026-03-01" {
		t.Errorf("says %v", err)
	}
}

func TestClock(t *testing.T) {
	for text, want := range map[string]Clock{"9 pm": 1260, "9pm": 1260, "9 PM": 1260, "7 am": 420, "7:30 am": 450, "12 am": 0, "12 pm": 720, "noon": 720, "midnight": 0, "12:15 a.m.": 15} {
		if c, err := ParseClock(text); err != nil || c != want {
			t.Errorf("%q: got %d, %v; want %d", text, c, err, want)
		}
	}
	for _, bad := range []string{"21:00", "13 pm", "0 am", "9", "9:5 pm", "9:60 pm", "pm", "", "9 pm pm", "99999999999999999999 am"} {
		if c, err := ParseClock(bad); err == nil {
			t.Errorf("%q: got %v", bad, c)
		}
	}
	if _, err := ParseClock("21:00"); err.Error() != "21:00 is no time of day; one is written 9 pm, 7:30 am or noon: write 9 pm" {
		t.Errorf("says %v", err)
	}
	for c := Clock(0); c < 1440; c++ {
		if back, err := ParseClock(c.String()); err != nil || back != c {
			t.Fatalf("%d writes %q, reads %d, %v", c, c, back, err)
		}
	}
	h, err := ParseHours("9 pm to 7 am")
	if err != nil || h.String() != "9 pm to 7 am" || !h.Has(1260) || !h.Has(0) || h.Has(420) || h.Has(720) {
		t.Errorf("night: %v, %v", h, err)
	}
	if d, err := ParseHours("7:30 am to noon"); err != nil || d.Has(449) || !d.Has(450) || d.Has(720) {
		t.Errorf("morning: %v, %v", d, err)
	}
}
