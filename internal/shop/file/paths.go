package file

import (
	"reflect"
	"strconv"
	"strings"
	"sync"

	"winnow/internal/shop"
)

// pieceKinds are the telling keys of a piece.
var pieceKinds = sync.OnceValue(func() []string {
	var w []string
	for _, f := range grammarOf(reflect.TypeFor[shop.Piece]()).whats {
		w = append(w, f.key)
	}
	return w
})

// pieceKind is the telling key of a piece, and what stands behind it; "" for what is no piece.
func (n *node) pieceKind() (string, *node) {
	if n.form != dict {
		return "", nil
	}
	for i, k := range n.keys {
		for _, w := range pieceKinds() {
			if k.text == w {
				return w, n.items[i]
			}
		}
	}
	return "", nil
}

// pieceName is the name a piece is spoken of by, if it has one.
func pieceName(kind string, value *node) string {
	switch kind {
	case "gate", "separator", "tap", "split":
		if value.form == scalar {
			return value.text
		}
	case "wye":
		if value.form == list && len(value.items) == 1 {
			value = value.items[0]
		}
		if value.form == scalar {
			return value.text
		}
	}
	return ""
}

// pieceKey is how a path names item i of a list: a piece by its kind with its name or number, others by their number.
func pieceKey(items []*node, i int) string {
	number := map[string]int{}
	for j, c := range items[:i] {
		numberedKey(c, j, number)
	}
	return numberedKey(items[i], i, number)
}

// numberedKey is pieceKey where the items are taken in order and counted on the way.
func numberedKey(item *node, i int, number map[string]int) string {
	kind, value := item.pieceKind()
	if kind == "" {
		return strconv.Itoa(i + 1)
	}
	number[kind]++
	if name := pieceName(kind, value); name != "" {
		return kind + " " + name
	}
	return kind + " " + strconv.Itoa(number[kind])
}

// pathsOf gives every node its path; a key has that of its value.
func pathsOf(root *node) map[*node]shop.Path {
	paths := map[*node]shop.Path{root: ""}
	var walk func(n *node, p shop.Path)
	walk = func(n *node, p shop.Path) {
		pieces := p.Last() == "pieces" || p.Last() == "exhaust"
		number := map[string]int{}
		for i, c := range n.items {
			q := p
			switch {
			case n.form == dict:
				q = p.Join(n.keys[i].text)
				paths[n.keys[i]] = q
			case pieces:
				q = p.Join(numberedKey(c, i, number))
			default:
				q = p.Join(strconv.Itoa(i + 1))
			}
			paths[c] = q
			walk(c, q)
		}
	}
	walk(root, "")
	return paths
}

// step finds the child a key names: its index, or -1.
func (n *node) step(key string) int {
	if n.form == dict {
		return n.find(key)
	}
	if n.form != list {
		return -1
	}
	if i, err := strconv.Atoi(key); err == nil {
		if i < 1 || i > len(n.items) {
			return -1
		}
		return i - 1
	}
	kind, which, ok := strings.Cut(key, " ")
	if !ok {
		return -1
	}
	number, err := strconv.Atoi(which)
	for i, c := range n.items {
		k, value := c.pieceKind()
		if k != kind {
			continue
		}
		number--
		if err == nil && number == 0 || err != nil && pieceName(k, value) == which {
			return i
		}
	}
	return -1
}

// follow walks a path as far as it goes. It returns the nodes on the way, root first, and the keys that are left.
func (n *node) follow(p shop.Path) (way []*node, left []string) {
	keys := p.Keys()
	way = append(make([]*node, 0, len(keys)+1), n)
	for i, k := range keys {
		at := way[len(way)-1]
		j := at.step(k)
		if j < 0 {
			return way, keys[i:]
		}
		way = append(way, at.items[j])
	}
	return way, nil
}
