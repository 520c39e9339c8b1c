package server

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer/html"
	source "github.com/yuin/goldmark/text"

	"winnow/docs"
	"winnow/internal/face/wire"
)

// readingOrder is the handbook's: what a newcomer meets first comes first, what is looked up comes last.
var readingOrder = []string{"getting-started", "page", "numbers", "words", "power", "air", "gates", "shop-file", "desk", "sources"}

// bound is the handbook ready to be read.
type bound struct {
	lines    []wire.ChapterLine
	chapters map[string]wire.Chapter
}

// bind makes the handbook of the chapters: those of the reading order, then the ledgers of the last one.
func bind(from fs.FS) (*bound, error) {
	b := &bound{chapters: map[string]wire.Chapter{}}
	names := slices.Clone(readingOrder)
	ledgers, err := fs.Glob(from, "sources/*.md")
	if err != nil {
		return nil, err
	}
	for _, l := range ledgers { // fs.Glob gives them in order
		names = append(names, chapterName(l))
	}
	for i, name := range names {
		c, err := chapter(from, name, names)
		if err != nil {
			return nil, fmt.Errorf("chapter %s: %w", name, err)
		}
		if i > 0 {
			c.Before = names[i-1]
		}
		if i+1 < len(names) {
			c.After = names[i+1]
		}
		b.chapters[name] = c
		b.lines = append(b.lines, c.ChapterLine)
	}
	return b, nil
}

// chapterName is what a file is called in an address: sources/air.md is sources-air.
func chapterName(file string) string {
	return strings.ReplaceAll(strings.TrimSuffix(file, ".md"), "/", "-")
}

func chapterFile(name string) string {
	if ledger, ok := strings.CutPrefix(name, "sources-"); ok {
		return "sources/" + ledger + ".md"
	}
	return name + ".md"
}

// markdown is as strict as the docs are plain: tables, and no raw HTML.
var markdown = goldmark.New(goldmark.WithExtensions(extension.Table), goldmark.WithParserOptions(parser.WithAutoHeadingID()), goldmark.WithRendererOptions(html.WithXHTML()))

func chapter(from fs.FS, name string, known []string) (wire.Chapter, error) {
	c := wire.Chapter{ChapterLine: wire.ChapterLine{Name: name}, Headings: []wire.Heading{}}
	if strings.HasPrefix(name, "sources-") {
		c.Under = "sources"
	}
	src, err := fs.ReadFile(from, chapterFile(name))
	if err != nil {
		return c, err
	}
	tree := markdown.Parser().Parse(source.NewReader(src))
	leaveOut(tree, src)
	notes := []ast.Node{}
	err = ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			if n.Level == 1 {
				c.Title = plainText(n, src)
				return ast.WalkSkipChildren, nil
			}
			id, _ := n.AttributeString("id")
			h := wire.Heading{ID: fmt.Sprintf("%s%s", idPrefix, id), Text: plainText(n, src), Level: n.Level}
			n.SetAttributeString("id", []byte(h.ID))
			c.Headings = append(c.Headings, h)
		case *ast.HTMLBlock:
			if n.HTMLBlockType == ast.HTMLBlockType2 { // a comment: a note to whoever writes the chapter
				notes = append(notes, n)
			}
		case *ast.Link:
			return ast.WalkContinue, aim(n, name, known)
		case *ast.Image:
			picture := string(n.Destination)
			if _, err := fs.Stat(from, path.Join(path.Dir(chapterFile(name)), picture)); err != nil {
				return ast.WalkStop, err
			}
			n.Destination = []byte("/api/handbook/" + picture)
			n.SetAttributeString("loading", []byte("lazy"))
		}
		return ast.WalkContinue, nil
	})
	if err != nil {
		return c, err
	}
	for _, n := range notes {
		n.Parent().RemoveChild(n.Parent(), n)
	}
	if h, ok := tree.FirstChild().(*ast.Heading); ok && h.Level == 1 {
		tree.RemoveChild(tree, h)
	}
	c.Title = cmp.Or(c.Title, name)
	var out bytes.Buffer
	err = markdown.Renderer().Render(&out, src, tree)
	c.HTML = out.String()
	return c, err
}

// forBuilders is the heading of a part that an owner has no use for.
const forBuilders = "How it is built"

// leaveOut takes such a part out, up to the next one.
func leaveOut(tree ast.Node, src []byte) {
	out := false
	for n := tree.FirstChild(); n != nil; {
		next := n.NextSibling()
		if h, ok := n.(*ast.Heading); ok && h.Level <= 2 {
			out = plainText(h, src) == forBuilders
		}
		if out {
			tree.RemoveChild(tree, n)
		}
		n = next
	}
}

// idPrefix keeps headings apart from what else has an id on the page.
const idPrefix = "handbook-"

// aim points a link at a chapter of the handbook. A link that leads nowhere is an error: it would be dead on the page. Links
// to the rest of the world stay, and open beside the page.
func aim(n *ast.Link, name string, known []string) error {
	to := string(n.Destination)
	if strings.Contains(to, "://") {
		n.SetAttributeString("target", []byte("_blank"))
		n.SetAttributeString("rel", []byte("noreferrer"))
		return nil
	}
	file, heading, _ := strings.Cut(to, "#")
	if file != "" {
		name = chapterName(path.Join(path.Dir(chapterFile(name)), file))
	}
	if !slices.Contains(known, name) {
		return fmt.Errorf("the link %s leads to no chapter", to)
	}
	address := "#handbook/" + name
	n.SetAttributeString("data-chapter", []byte(name))
	if heading != "" {
		address += "/" + heading
		n.SetAttributeString("data-heading", []byte(heading))
	}
	n.Destination = []byte(address)
	return nil
}

// plainText is what a heading says.
func plainText(n ast.Node, src []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Text:
			if entering {
				b.Write(n.Value(src))
			}
		case *ast.String:
			if entering {
				b.Write(n.Value)
			}
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

type chapterIn struct {
	Name string `path:"name" maxLength:"100"`
}

func (s *Server) registerHandbook() {
	huma.Register(s.api, huma.Operation{OperationID: "handbook", Method: http.MethodGet, Path: "/api/handbook", Summary: "the chapters in the order of reading"},
		func(context.Context, *struct{}) (*answer[[]wire.ChapterLine], error) {
			b, err := s.handbook()
			if err != nil {
				return nil, problem(err)
			}
			return &answer[[]wire.ChapterLine]{b.lines}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "chapter", Method: http.MethodGet, Path: "/api/handbook/{name}"},
		func(_ context.Context, in *chapterIn) (*answer[wire.Chapter], error) {
			b, err := s.handbook()
			if err != nil {
				return nil, problem(err)
			}
			c, ok := b.chapters[in.Name]
			if !ok {
				return nil, huma.Error404NotFound("the handbook has no chapter of that name")
			}
			return &answer[wire.Chapter]{c}, nil
		})
	s.mux.HandleFunc("GET /api/handbook/pictures/{picture}", func(w http.ResponseWriter, r *http.Request) {
		picture := path.Join("pictures", r.PathValue("picture"))
		if path.Dir(picture) != "pictures" || path.Ext(picture) != ".png" {
			s.refuse(w, r, http.StatusNotFound, "the handbook has no picture of that name")
			return
		}
		w.Header().Set("Cache-Control", "no-cache")
		http.ServeFileFS(w, r, docs.Chapters, picture)
	})
}
