package wire

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"winnow/internal/shop"
	"winnow/internal/study/roomair"
	"winnow/internal/unit"
)

// The first sentence of Air names the two tasks that give most, the best act that is advised, and the best free one.
func TestAirSentence(t *testing.T) {
	task := func(name string, of float64, chore bool) roomair.Task {
		return roomair.Task{Most: 0.7, Name: name, Where: shop.MachinePath(name), Chore: chore, OfDay: roomair.Span{Low: of / 2, Median: of, High: 2 * of}}
	}
	option := func(what string, left float64, free bool, held string) roomair.Option {
		code := &shop.Code{Name: "act", Sentence: what}
		return roomair.Option{Inhalable: roomair.Span{Low: left - 0.1, Median: left, High: left + 0.1}, Withheld: held, Remedy: shop.Remedy{What: code, Free: free}}
	}
	tasks := []roomair.Task{task("saw", 0.1, false), task("sander", 0.3, false), task("sweeping dry", 0.2, true)}
	const first = "The sander likely gives you the most dust, about 30 % of a day's; next sweeping dry, about 20 %."
	for _, c := range []struct {
		name    string
		tasks   []roomair.Task
		options []roomair.Option
		want    string
	}{
		{"money first, then free", tasks, []roomair.Option{option("A fan", 0.6, false, ""), option("Sweep wet", 0.8, true, "")}, first + " What helps most: a fan, 40 % less (30 to 50). Free: sweep wet, 20 % less (10 to 30)."},
		{"free is best", tasks, []roomair.Option{option("Sweep wet", 0.6, true, ""), option("A fan", 0.8, false, "")}, first + " What helps most is free: sweep wet, 40 % less (30 to 50)."},
		{"nothing free", tasks, []roomair.Option{option("A fan", 0.6, false, "")}, first + " What helps most: a fan, 40 % less (30 to 50)."},
		{"what is held back is never named", tasks, []roomair.Option{option("A fan", 0.3, false, "a flame"), option("Sweep wet", 0.8, true, "")}, first + " What helps most is free: sweep wet, 20 % less (10 to 30)."},
		{"hardly anything", tasks, []roomair.Option{option("A fan", 0.99, false, "")}, first + " Nothing known here would make it much less."},
		{"one task", tasks[:1], nil, "The saw likely gives you the most dust, about 10 % of a day's. Nothing known here would make it much less."},
		{"a chore begins the sentence", []roomair.Task{tasks[2], tasks[0]}, nil, "Sweeping dry likely gives you the most dust, about 20 % of a day's; next the saw, about 10 %. Nothing known"},
		{"no dust", nil, nil, "Nothing in this file makes dust in the room"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Plain(airSentence(roomair.Answer{Tasks: c.tasks, Options: c.options}, unit.US)); !strings.HasPrefix(got, c.want) {
				t.Errorf("said %q\nwant %q", got, c.want)
			}
		})
	}
	// No surer than the draws are.
	for chance, want := range map[float64]string{
		0.95: "The sander gives you the most dust, about 30 % of a day's; next", 0.6: "The sander likely gives you the most dust, about 30 %",
		0.35: "No one task stands out: the sander gives you about 30 % of a day's dust, sweeping dry about 20 %. Nothing known",
	} {
		k := slices.Clone(tasks)
		k[1].Most = chance
		if got := Plain(airSentence(roomair.Answer{Tasks: k}, unit.US)); !strings.HasPrefix(got, want) {
			t.Errorf("at a chance of %g: %q", chance, got)
		}
	}
	parts := airSentence(roomair.Answer{Tasks: tasks}, unit.US)
	if i := slices.IndexFunc(parts, func(p Part) bool { return p.Kind == "machine" }); i < 0 || parts[i].Path != "machines/sander" || parts[i].Text != "sander" {
		t.Errorf("the machine is no link: %+v", parts)
	}
	// What endangers comes before all.
	danger := shop.Finding{Code: roomair.CodeFlame, Args: []shop.Arg{shop.Word("system", "cyclone"), shop.Word("flame", "stove")}}
	if got := Plain(airSentence(roomair.Answer{Tasks: tasks, Findings: []shop.Finding{danger}}, unit.SI)); !regexp.MustCompile("^The cyclone blows .* beside the stove").MatchString(got) {
		t.Error(got)
	}
}
