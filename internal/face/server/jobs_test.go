package server

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"winnow/internal/face/wire"
)

// heard is what one page hears of jobs.
func heard(t testing.TB, url string) <-chan wire.Job {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	r, _ := http.NewRequestWithContext(ctx, http.MethodGet, url+"/api/shops/shop/events", nil)
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	out := make(chan wire.Job, 100)
	go func() {
		defer resp.Body.Close()
		lines := bufio.NewScanner(resp.Body)
		kind := ""
		for lines.Scan() {
			if k, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				kind = k
			}
			if d, ok := strings.CutPrefix(lines.Text(), "data: "); ok && kind == "job" {
				var j wire.Job
				if json.Unmarshal([]byte(d), &j) == nil {
					out <- j
				}
			}
		}
	}()
	return out
}

// endOf waits until a page hears the end of a job.
func endOf(t testing.TB, page <-chan wire.Job, id string) wire.Job {
	t.Helper()
	late := time.After(60 * time.Second)
	for {
		select {
		case j := <-page:
			if j.ID == id && j.State != "running" {
				return j
			}
		case <-late:
			t.Fatal("nobody told the end of the job")
		}
	}
}

// A proof of a shop that starts by itself: told of while it lasts, ended by its limit, and its answer is there afterwards.
func TestAProofIsAJob(t *testing.T) {
	_, web, _ := openShop(t, "millrace.yaml", nil)
	page := heard(t, web.URL)
	jobs := web.URL + "/api/shops/shop/jobs"
	var j, same, whole wire.Job
	if code := post(t, jobs, wire.JobAsk{Kind: "prove", Seconds: 2}, &j); code != http.StatusOK || j.State != "running" || j.Rev != 1 || j.Limit != 2 {
		t.Fatalf("%d, %+v", code, j)
	}
	if post(t, jobs, wire.JobAsk{Kind: "prove"}, &same); same.ID != j.ID {
		t.Error("a second page began a second proof")
	}
	told := endOf(t, page, j.ID)
	get(t, jobs+"/"+j.ID, &whole)
	if told.State != "done" || told.Proof != nil || told.Count == 0 || told.Done != told.Parts || told.Parts < 2 {
		t.Errorf("told at the end: %+v", told)
	}
	if whole.Proof == nil || len(whole.Proof.Systems) != 1 || whole.Proof.Systems[0].System != "cyclone" || len(whole.Proof.Findings) == 0 {
		t.Fatalf("the answer: %+v", whole.Proof)
	}
	sum, cut := 0, false
	for _, r := range whole.Proof.Systems[0].Runs {
		sum += r.Explored
		cut = cut || !r.Complete && r.Explored < r.States
		if r.Broken != 0 {
			t.Errorf("%s: rule %d is broken", r.Name, r.Broken)
		}
	}
	if len(whole.Proof.Systems[0].Runs) != whole.Parts || sum != whole.Count {
		t.Errorf("%d looks saw %d states; told were %d looks and %d states", len(whole.Proof.Systems[0].Runs), sum, whole.Parts, whole.Count)
	}
	if cut && whole.Took < 1.5 {
		t.Errorf("it ended after %.1f of its 2 s, with looks cut short", whole.Took)
	}
	late := heard(t, web.URL)
	if again := endOf(t, late, j.ID); again.State != "done" {
		t.Errorf("a page that comes later hears %+v", again)
	}
}

// Stopping ends the looking, not the answer.
func TestAProofCanBeStopped(t *testing.T) {
	_, web, _ := openShop(t, "millrace.yaml", nil)
	page := heard(t, web.URL)
	jobs := web.URL + "/api/shops/shop/jobs"
	var j, stopped wire.Job
	post(t, jobs, wire.JobAsk{Kind: "prove", Seconds: 600}, &j)
	for far := (wire.Job{}); far.Parts == 0; far = <-page {
	}
	r, _ := http.NewRequest(http.MethodDelete, jobs+"/"+j.ID, nil)
	began := time.Now()
	if code := send(t, r, &stopped); code != http.StatusOK || stopped.State != "stopped" || stopped.Proof == nil {
		t.Errorf("%d, %+v", code, stopped)
	}
	if took := time.Since(began); took > 20*time.Second {
		t.Errorf("it took %v to notice", took)
	}
	if told := endOf(t, page, j.ID); told.State != "stopped" {
		t.Errorf("told: %+v", told)
	}
	var next wire.Job
	if post(t, jobs, wire.JobAsk{Kind: "prove", Seconds: 1}, &next); next.ID == j.ID || next.State != "running" {
		t.Errorf("after it another can begin: %+v", next)
	}
}

// A shop in which nothing starts by itself has nothing to prove; it is told why and what to do.
func TestAProofOfNothingSaysSo(t *testing.T) {
	_, web, _ := open(t, nil)
	page := heard(t, web.URL)
	var j wire.Job
	post(t, web.URL+"/api/shops/shop/jobs", wire.JobAsk{Kind: "prove"}, &j)
	if told := endOf(t, page, j.ID); told.State != "failed" || !strings.Contains(told.Why, "nothing starts by itself") || !strings.Contains(told.Why, "collector") {
		t.Errorf("%+v", told)
	}
}

func TestJobsThatCannotBe(t *testing.T) {
	_, web, _ := open(t, nil)
	jobs := web.URL + "/api/shops/shop/jobs"
	for _, ask := range []wire.JobAsk{{Kind: "dig"}, {Kind: ""}, {Kind: "prove", Seconds: 3600}, {Kind: "prove", Seconds: -1}, {Kind: "prove", Rev: 99}} {
		if code := post(t, jobs, ask, nil); code != http.StatusUnprocessableEntity {
			t.Errorf("%+v: %d", ask, code)
		}
	}
	for _, method := range []string{http.MethodGet, http.MethodDelete} {
		r, _ := http.NewRequest(method, jobs+"/nosuch", nil)
		if code := send(t, r, nil); code != http.StatusNotFound {
			t.Errorf("%s of a job that is not there: %d", method, code)
		}
	}
	if code := post(t, web.URL+"/api/shops/other/jobs", wire.JobAsk{Kind: "prove"}, nil); code != http.StatusNotFound {
		t.Errorf("a job of a shop that is not there: %d", code)
	}
}

// Whatever a job does, it ends by its limit, by a stop, by a fault of its own or with the server, and only so many are kept.
func TestEveryJobEnds(t *testing.T) {
	ended := make(chan wire.Job, 100)
	j := newJobs(func(w wire.Job) {
		if w.State != "running" {
			ended <- w
		}
	})
	until := func(ctx context.Context, far func(func(*wire.Job))) error {
		far(func(w *wire.Job) { w.Count = 7 })
		<-ctx.Done()
		return nil
	}
	for _, c := range []struct {
		name  string
		limit time.Duration
		do    work
		state string
	}{
		{"by its limit", 20 * time.Millisecond, until, "done"},
		{"by an error", time.Minute, func(context.Context, func(func(*wire.Job))) error { return errors.New("no wood") }, "failed"},
		{"by a fault of its own", time.Minute, func(context.Context, func(func(*wire.Job))) error { panic("no wood") }, "failed"},
	} {
		began, err := j.begin(c.name, 1, c.limit, c.do)
		if err != nil {
			t.Fatal(err)
		}
		if w := <-ended; w.ID != began.ID || w.State != c.state || c.state == "failed" && !strings.Contains(w.Why, "no wood") {
			t.Errorf("%s: %+v", c.name, w)
		}
	}
	for range 2 * jobsKept {
		w, _ := j.begin("many", 1, time.Minute, func(context.Context, func(func(*wire.Job))) error { return nil })
		<-ended
		if _, there := j.find(context.Background(), w.ID); !there {
			t.Error("the latest is not kept")
		}
	}
	if n := len(j.list()); n != jobsKept {
		t.Errorf("%d are kept", n)
	}
	last, _ := j.begin("last", 1, time.Hour, until)
	j.close()
	if w := <-ended; w.ID != last.ID || w.Count != 7 {
		t.Errorf("with the server: %+v", w)
	}
	if _, err := j.begin("after", 1, time.Hour, until); !errors.Is(err, errClosing) {
		t.Errorf("a job began in a server that is closed: %v", err)
	}
}
