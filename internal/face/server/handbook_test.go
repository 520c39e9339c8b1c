package server

import (
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"winnow/docs"
	"winnow/internal/face/wire"
)

func TestTheHandbookHasEveryChapterAndNoDeadEnd(t *testing.T) {
	_, web, _ := open(t, nil)
	var lines []wire.ChapterLine
	if code := get(t, web.URL+"/api/handbook", &lines); code != http.StatusOK || lines[0].Name != "getting-started" || lines[0].Title != "The first two minutes" {
		t.Fatalf("%d, %+v", code, lines)
	}
	chapters := map[string]wire.Chapter{}
	before := ""
	for i, l := range lines {
		var c wire.Chapter
		if code := get(t, web.URL+"/api/handbook/"+l.Name, &c); code != http.StatusOK {
			t.Fatalf("%s: %d", l.Name, code)
		}
		if c.ChapterLine != l || c.Before != before || (c.After == "") != (i == len(lines)-1) || len(c.HTML) < 200 {
			t.Errorf("%s: %+v, %d bytes", l.Name, c.ChapterLine, len(c.HTML))
		}
		before = l.Name
		chapters[l.Name] = c
	}
	// Every text of the owner's that the docs hold is there.
	for _, dir := range []string{".", "sources"} {
		entries, _ := docs.Chapters.ReadDir(dir)
		for _, e := range entries {
			if name, is := strings.CutSuffix(e.Name(), ".md"); is {
				if dir == "sources" {
					name = "sources-" + name
				}
				if _, ok := chapters[name]; !ok {
					t.Errorf("%s is built in and in no chapter", e.Name())
				}
			}
		}
	}
	for name, c := range chapters {
		checkChapter(t, web.URL, name, c, chapters)
	}
	if code := get(t, web.URL+"/api/handbook/architecture", nil); code != http.StatusNotFound {
		t.Errorf("a chapter that is not the owner's: %d", code)
	}
	for _, reach := range []string{"/api/handbook/pictures/", "/api/handbook/pictures/..%2fair.md", "/api/handbook/..%2f..%2fgo.mod"} {
		if code := get(t, web.URL+reach, nil); code != http.StatusNotFound {
			t.Errorf("%s: %d", reach, code)
		}
	}
}

var picture = regexp.MustCompile(`<img src="([^"]+)"`)

// checkChapter: it is well-formed, nothing in it can run, its links arrive and its pictures are there.
func checkChapter(t *testing.T, web, name string, c wire.Chapter, all map[string]wire.Chapter) {
	t.Helper()
	if strings.Contains(c.HTML, "raw HTML omitted") {
		t.Errorf("%s lost a piece that was raw HTML", name)
	}
	ids := []string{}
	d := xml.NewDecoder(strings.NewReader("<div>" + c.HTML + "</div>"))
	d.Entity, d.AutoClose, d.Strict = xml.HTMLEntity, xml.HTMLAutoClose, true
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%s is not well-formed: %v", name, err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if slices.Contains([]string{"script", "style", "iframe", "h1", "form"}, e.Name.Local) {
			t.Errorf("%s has a <%s>", name, e.Name.Local)
		}
		link := map[string]string{}
		for _, a := range e.Attr {
			if strings.HasPrefix(a.Name.Local, "on") {
				t.Errorf("%s has an %s", name, a.Name.Local)
			}
			link[a.Name.Local] = a.Value
		}
		if id := link["id"]; id != "" {
			ids = append(ids, id)
		}
		if e.Name.Local == "a" {
			arrives(t, name, link, all)
		}
	}
	want := []string{}
	for _, h := range c.Headings {
		want = append(want, h.ID)
	}
	if !slices.Equal(ids, want) {
		t.Errorf("%s: the headings are %q, and the list says %q", name, ids, want)
	}
	for _, p := range picture.FindAllStringSubmatch(c.HTML, -1) {
		resp, err := http.Get(web + p[1])
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusOK || resp.Header.Get("Content-Type") != "image/png" {
			t.Errorf("%s: picture %s: %d", name, p[1], resp.StatusCode)
		}
	}
}

func arrives(t *testing.T, name string, link map[string]string, all map[string]wire.Chapter) {
	t.Helper()
	to, known := all[link["data-chapter"]]
	switch heading := link["data-heading"]; {
	case strings.HasPrefix(link["href"], "https://") && link["rel"] == "noreferrer":
	case !known || !strings.HasPrefix(link["href"], "#handbook/"+link["data-chapter"]):
		t.Errorf("%s: the link %+v leads nowhere", name, link)
	case heading != "" && !slices.ContainsFunc(to.Headings, func(h wire.Heading) bool { return h.ID == idPrefix+heading }):
		t.Errorf("%s: %s has no part %s", name, link["data-chapter"], heading)
	}
}

// What the docs do not hold today is held to the same: raw HTML goes, a dead link or picture is an error.
func TestAHandbookIsBoundStrictly(t *testing.T) {
	book := func(page string) (wire.Chapter, error) {
		files := fstest.MapFS{}
		for _, name := range readingOrder {
			files[name+".md"] = &fstest.MapFile{Data: []byte("# Title of " + name + "\n\nWords.\n")}
		}
		files["page.md"] = &fstest.MapFile{Data: []byte(page)}
		files["sources/air.md"] = &fstest.MapFile{Data: []byte("# Air\n\n[up](../sources.md), [across](../air.md#dust)\n")}
		b, err := bind(files)
		if err != nil {
			return wire.Chapter{}, err
		}
		return b.chapters["page"], nil
	}
	c, err := book("# Hand & `eye`\n\n<script>alert(1)</script>\n\n[a <b>](javascript:alert)\n\n## Two *words*\n\n    winnow check <FILE>\n\n[to the ledger](sources/air.md#a)\n")
	if err == nil {
		t.Errorf("a link that runs was taken: %s", c.HTML)
	}
	c, err = book("# Hand & `eye`\n\n<script>alert(1)</script>\n\n## Two *words*\n\n    winnow check <FILE>\n\n[to the ledger](sources/air.md#a) [out](https://example.org/)\n\n| a | b |\n|---|---|\n| 1 | 2 |\n\n## How it is built\n\nOf [code](nosuch.md).\n\n### In detail\n\nMore code.\n\n## After it\n\nLast words.\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<h2 id="handbook-two-words">Two <em>words</em></h2>`, `winnow check &lt;FILE&gt;`, `href="#handbook/sources-air/a"`, `data-chapter="sources-air"`, `data-heading="a"`,
		`target="_blank"`, `<td>1</td>`,
	} {
		if !strings.Contains(c.HTML, want) {
			t.Errorf("%s is not in\n%s", want, c.HTML)
		}
	}
	if strings.Contains(c.HTML, "More code") || !strings.Contains(c.HTML, "Last words") || len(c.Headings) != 2 {
		t.Errorf("what is for builders is not left out alone: %+v\n%s", c.Headings, c.HTML)
	}
	if c.Title != "Hand & eye" || strings.Contains(c.HTML, "<script") || strings.Contains(c.HTML, "<h1") {
		t.Errorf("title %q of\n%s", c.Title, c.HTML)
	}
	for _, dead := range []string{"[x](nosuch.md)", "![x](pictures/none.png)", "[x](../go.mod)"} {
		if _, err := book("# T\n\n" + dead + "\n"); err == nil {
			t.Errorf("%s was taken", dead)
		}
	}
}
