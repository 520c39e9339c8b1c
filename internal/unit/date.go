package unit

import (
	"strconv"
	"strings"
)

// Date is a day of the calendar, with no clock and no zone. The zero value is no date.
type Date struct{ Year, Month, Day int }

// ParseDate reads 2026-03-01: the one order of the numbers that nobody mistakes. Errors are *ParseError.
func ParseDate(text string) (Date, error) {
	t := strings.TrimSpace(text)
	if len(t) == 10 && t[4] == '-' && t[7] == '-' {
		y, a := digits(t[:4])
		m, b := digits(t[5:7])
		d, c := digits(t[8:])
		if day := (Date{y, m, d}); a && b && c && day.Valid() {
			return day, nil
		}
	}
	return Date{}, &ParseError{Text: text, Problem: NoSuchDay, Word: t, Wanted: "date"}
}

func digits(s string) (int, bool) {
	n := 0
	for i := range len(s) {
		if !digit(s[i]) {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, s != ""
}

// Valid says whether the day is in the calendar, from the year 1 to 9999.
func (d Date) Valid() bool {
	return d.Year >= 1 && d.Year <= 9999 && d.Month >= 1 && d.Month <= 12 && d.Day >= 1 && d.Day <= monthDays(d.Year, d.Month)
}

func monthDays(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// String writes 2026-03-01; the zero Date is "".
func (d Date) String() string {
	if d == (Date{}) {
		return ""
	}
	return pad(d.Year, 4) + "-" + pad(d.Month, 2) + "-" + pad(d.Day, 2)
}

func pad(n, width int) string {
	s := strconv.Itoa(n)
	return strings.Repeat("0", max(0, width-len(s))) + s
}

// MarshalText and UnmarshalText are String and ParseDate, for --json and the store.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	day, err := ParseDate(string(text))
	if err != nil {
		return err
	}
	*d = day
	return nil
}

// Number counts days; 1970-01-01 is 0. The year is taken to begin in March, so that the leap day comes last and the
// months before it have the lengths 31 30 31 30 31 | 31 30 31 30 31 | 31, which (153m + 2)/5 adds up.
func (d Date) Number() int {
	y, m := d.Year, d.Month-3
	if m < 0 {
		y, m = y-1, m+12
	}
	return 365*y + y/4 - y/100 + y/400 + (153*m+2)/5 + d.Day - 1 - 719468
}

// DateOf is Number backwards.
func DateOf(number int) Date {
	n := number + 719468 // days since 0000-03-01
	year := n / 365      // at most a little too late
	for 365*year+year/4-year/100+year/400 > n {
		year--
	}
	rest := n - (365*year + year/4 - year/100 + year/400)
	m := (5*rest + 2) / 153
	d := Date{Year: year, Month: m + 3, Day: rest - (153*m+2)/5 + 1}
	if d.Month > 12 {
		d.Year, d.Month = d.Year+1, d.Month-12
	}
	return d
}

// Add is the day n days later.
func (d Date) Add(n int) Date { return DateOf(d.Number() + n) }

// Since is how many days lie between an earlier day and d.
func (d Date) Since(earlier Date) int { return d.Number() - earlier.Number() }

// Before says whether d is an earlier day.
func (d Date) Before(other Date) bool { return d.Number() < other.Number() }

// Weekday is 0 on Sunday to 6 on Saturday.
func (d Date) Weekday() int { return ((d.Number()+4)%7 + 7) % 7 }
