package server

import (
	"fmt"
	"strings"

	"winnow/internal/face/wire"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// editsOf turns edits as sent into plain ones. An act of several is worked out from the text as the edits before it leave it.
func editsOf(doc *file.Doc, sent []wire.Edit) ([]shop.Edit, error) {
	out := make([]shop.Edit, 0, len(sent))
	done := 0 // how many of out are in doc
	for _, e := range sent {
		if e.TakeOut == "" && e.Duplicate == "" {
			out = append(out, e.Shop())
			continue
		}
		if more := out[done:]; len(more) > 0 {
			next, err := doc.Apply(more...)
			if err != nil {
				return nil, err
			}
			doc, done = next, len(out)
		}
		act, err := actOf(doc, e)
		if err != nil {
			return nil, err
		}
		out = append(out, act...)
	}
	return out, nil
}

// actOf is the edits of one act.
func actOf(doc *file.Doc, e wire.Edit) ([]shop.Edit, error) {
	plain := e
	plain.TakeOut, plain.Duplicate, plain.To = "", "", nil
	if plain != (wire.Edit{}) || e.TakeOut != "" && (e.Duplicate != "" || e.To != nil) {
		return nil, fmt.Errorf("%w: take_out stands alone in an edit, and duplicate with to", errBadAsk)
	}
	if e.TakeOut != "" {
		machine, err := machineAt(doc, shop.Path(e.TakeOut))
		if err != nil {
			return nil, err
		}
		return shop.RemoveMachine(doc.Shop(), machine), nil
	}
	if e.To == nil || e.To.Kind != shop.Scalar || strings.TrimSpace(e.To.Text) == "" {
		return nil, fmt.Errorf("%w: a copy of %s needs a name under to", errBadAsk, e.Duplicate)
	}
	p := shop.Path(e.Duplicate)
	edits, ok := []shop.Edit(nil), false
	if machine, err := machineAt(doc, p); err == nil {
		edits, ok = shop.DuplicateMachine(doc.Shop(), doc.Value, machine, e.To.Text)
	} else {
		edits, ok = shop.Duplicate(doc.Shop(), doc.Value, p, e.To.Text)
	}
	if !ok {
		return nil, fmt.Errorf("%w: there is no %s to copy", errBadAsk, e.Duplicate)
	}
	return edits, nil
}

// machineAt is the machine a path names.
func machineAt(doc *file.Doc, p shop.Path) (shop.ID, error) {
	if keys := p.Keys(); len(keys) == 2 && keys[0] == "machines" && doc.Shop().Machine(keys[1]) != nil {
		return keys[1], nil
	}
	return "", fmt.Errorf("%w: there is no machine %s", errBadAsk, p)
}
