package desk

import (
	"bytes"
	"fmt"
	"reflect"
	"strconv"

	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// notAsBefore says that what an edit is about was changed by somebody else.
type notAsBefore struct {
	path shop.Path
	what string
}

func (e *notAsBefore) Error() string { return string(e.path) + " " + e.what }

// rebase turns edits made for one text into edits for another: what an edit is about must still be there and say the
// same, under its new number where pieces before it came or went. Each edit is looked at after those before it.
func rebase(from, to *file.Doc, edits []shop.Edit) ([]shop.Edit, error) {
	out := make([]shop.Edit, len(edits))
	var touched []shop.Path
	for i, e := range edits {
		f, t, inStep := after(from, to, edits[:i], out[:i])
		target := e.Target()
		if !inStep && within(target, touched) {
			out[i] = e // the first edit of it was checked
			continue
		}
		path, err := follow(f, t, target)
		if err != nil {
			return nil, err
		}
		if e.Insert == nil {
			if err := unchanged(f, t, target, path); err != nil {
				return nil, err
			}
			touched = append(touched, target)
		}
		out[i] = retarget(e, path)
	}
	return out, nil
}

// after is both texts with the edits so far. Halfway through a list of edits a file may have faults, so that it cannot
// be had; then the texts without them must do.
func after(from, to *file.Doc, edits, moved []shop.Edit) (f, t *file.Doc, inStep bool) {
	if len(edits) == 0 {
		return from, to, true
	}
	f, err := from.Apply(edits...)
	if err != nil {
		return from, to, false
	}
	t, err = to.Apply(moved...)
	if err != nil {
		return from, to, false
	}
	return f, t, true
}

func within(p shop.Path, above []shop.Path) bool {
	for _, a := range above {
		if p == a || len(p) > len(a) && p[:len(a)] == a && p[len(a)] == '/' {
			return true
		}
	}
	return false
}

func retarget(e shop.Edit, p shop.Path) shop.Edit {
	switch {
	case e.Set != "":
		e.Set = p
	case e.Remove != "":
		e.Remove = p
	case e.Rename != "":
		e.Rename = p
	case e.Before != "":
		e.Before = p
	case e.After != "":
		e.After = p
	}
	return e
}

// unchanged: the two texts say the same at two paths.
func unchanged(from, to *file.Doc, before, now shop.Path) error {
	was, there := from.Value(before)
	is, still := to.Value(now)
	switch {
	case there && !still:
		return &notAsBefore{before, "is not there any more"}
	case !there && still:
		return &notAsBefore{before, "was written meanwhile"}
	case there && !reflect.DeepEqual(was, is):
		return &notAsBefore{before, "was changed meanwhile"}
	}
	return nil
}

// follow finds where the thing at a path has gone. Names stay; numbers in lists move when items come or go.
func follow(from, to *file.Doc, p shop.Path) (shop.Path, error) {
	var old, now shop.Path
	for _, key := range p.Keys() {
		list, ok := from.Value(old)
		if ok && list.Kind == shop.List {
			moved, err := followItem(from, to, old, now, key)
			if err != nil {
				return "", err
			}
			old, now = old.Join(key), now.Join(moved)
			continue
		}
		old, now = old.Join(key), now.Join(key)
	}
	return now, nil
}

// followItem: with the same items in the same order a number means what it meant. Else the item must be found again,
// word for word and only once.
func followItem(from, to *file.Doc, old, now shop.Path, key string) (string, error) {
	before, after := itemKeys(from, old), itemKeys(to, now)
	if reflect.DeepEqual(before, after) {
		return key, nil
	}
	item, ok := from.Value(old.Join(key))
	if !ok {
		return key, nil // something new; the edit itself says whether that can be
	}
	found := ""
	for _, k := range after {
		if other, ok := to.Value(now.Join(k)); ok && reflect.DeepEqual(item, other) {
			if found != "" {
				return "", &notAsBefore{old.Join(key), "cannot be told from another of its kind any more"}
			}
			found = k
		}
	}
	if found == "" {
		return "", &notAsBefore{old.Join(key), "was changed meanwhile, or is not there any more"}
	}
	return found, nil
}

// itemKeys are the keys by which paths name the items of a list: pieces by kind and name or number, others by number.
func itemKeys(d *file.Doc, list shop.Path) []string {
	v, ok := d.Value(list)
	if !ok {
		return nil
	}
	if pieces := piecesAt(d.Shop(), list); len(pieces) == len(v.Items) {
		keys := make([]string, len(pieces))
		for i := range pieces {
			keys[i] = shop.PieceKey(pieces, i)
		}
		return keys
	}
	keys := make([]string, len(v.Items))
	for i := range keys {
		keys[i] = strconv.Itoa(i + 1)
	}
	return keys
}

// piecesAt are the pieces of the run, or of the exhaust, that a path names.
func piecesAt(s *shop.Shop, p shop.Path) []shop.Piece {
	k := p.Keys()
	if len(k) < 3 || k[0] != "systems" || s.System(k[1]) == nil {
		return nil
	}
	y := s.System(k[1])
	switch {
	case len(k) == 3 && k[2] == "exhaust":
		return y.Exhaust
	case len(k) == 5 && k[2] == "runs" && k[4] == "pieces" && y.Run(k[3]) != nil:
		return y.Run(k[3]).Pieces
	}
	return nil
}

// mergeLines takes over what both sides changed in a text, if they changed it in different places. Each side's change
// is the middle that is left between the lines at the top and at the bottom that it did not touch.
func mergeLines(base, theirs, ours []byte) ([]byte, error) {
	b, t, o := lines(base), lines(theirs), lines(ours)
	tTop, tEnd := middle(b, t)
	oTop, oEnd := middle(b, o)
	switch {
	case bytes.Equal(theirs, ours):
		return ours, nil
	case tEnd <= oTop && tTop < oTop: // theirs lies above
		return join(t[:len(t)-(len(b)-tEnd)], b[tEnd:oTop], o[oTop:]), nil
	case oEnd <= tTop && oTop < tTop: // ours lies above
		return join(o[:len(o)-(len(b)-oEnd)], b[oEnd:tTop], t[tTop:]), nil
	}
	return nil, fmt.Errorf("lines %d to %d were changed on both sides", max(tTop, oTop)+1, max(min(tEnd, oEnd), max(tTop, oTop)+1))
}

func lines(text []byte) [][]byte { return bytes.SplitAfter(text, []byte("\n")) }

func join(parts ...[][]byte) []byte {
	var all []byte
	for _, p := range parts {
		all = append(all, bytes.Join(p, nil)...)
	}
	return all
}

// middle is the part of base that was changed, as line numbers from top up to end.
func middle(base, changed [][]byte) (top, end int) {
	n := min(len(base), len(changed))
	for top < n && bytes.Equal(base[top], changed[top]) {
		top++
	}
	tail := 0
	for tail < n-top && bytes.Equal(base[len(base)-1-tail], changed[len(changed)-1-tail]) {
		tail++
	}
	return top, len(base) - tail
}
