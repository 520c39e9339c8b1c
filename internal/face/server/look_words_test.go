package server

import "testing"

func TestTheRestIsSaidInPlainEnglish(t *testing.T) {
	for _, c := range []struct {
		well, others int
		want         string
	}{
		{1, 1, " The other one gets its airflow."},
		{0, 1, " The other one does not get enough."},
		{3, 3, " The other 3 ports get their airflow."},
		{0, 3, " None of the other 3 ports gets enough."},
		{1, 6, " Of the other 6 ports, one gets its airflow."},
		{4, 6, " Of the other 6 ports, 4 get their airflow."},
	} {
		if got := restWords(c.well, c.others); got != c.want {
			t.Errorf("%d of %d: %q, want %q", c.well, c.others, got, c.want)
		}
	}
	// Where nothing runs every port was judged alone, and a verdict of machines that run together may be worse.
	if got, want := leadIn("One at a time, ", restWords(3, 3)), " One at a time, the other 3 ports get their airflow."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := leadIn("", restWords(3, 3)), " The other 3 ports get their airflow."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
