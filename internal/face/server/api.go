package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"winnow/internal/face/wire"
	"winnow/internal/live/desk"
	"winnow/internal/shop"
	"winnow/internal/shop/file"
)

// shopID is the one shop a small server has; the address names it so that a school's can have many.
const shopID = "shop"

// InShop names the shop in the address; exported, as the API library fills embedded fields only then.
type InShop struct {
	Shop string `path:"shop" doc:"the shop's name in the address"`
}

type answer[T any] struct{ Body T }

type askIn struct {
	InShop
	Body wire.Ask
}

type changeIn struct {
	InShop
	Body wire.Change
}

type stepIn struct {
	InShop
	Body struct {
		Rev int    `json:"rev" doc:"what the page holds; 0 for whatever is the latest"`
		Run string `json:"run,omitempty" maxLength:"100" doc:"the run that rev was read in; empty: not checked"`
		ID  string `json:"id" maxLength:"100"`
	}
}

type firstIn struct{ Body wire.FirstAsk }

func (s *Server) register() {
	huma.Register(s.api, huma.Operation{OperationID: "shops", Method: http.MethodGet, Path: "/api/shops"},
		func(context.Context, *struct{}) (*answer[[]wire.ShopLine], error) {
			head := s.Desk.Head()
			return &answer[[]wire.ShopLine]{[]wire.ShopLine{{ID: shopID, Name: head.Doc.Shop().Name}}}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "state", Method: http.MethodGet, Path: "/api/shops/{shop}"},
		func(ctx context.Context, in *InShop) (*answer[wire.State], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			return &answer[wire.State]{s.state(ctx)}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "look", Method: http.MethodPost, Path: "/api/shops/{shop}/look", MaxBodyBytes: maxBody},
		func(ctx context.Context, in *askIn) (*answer[wire.Look], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			look, err := s.look(ctx, in.Body)
			if err != nil {
				return nil, problem(err)
			}
			return &answer[wire.Look]{look}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "edits", Method: http.MethodPost, Path: "/api/shops/{shop}/edits", MaxBodyBytes: maxBody},
		func(ctx context.Context, in *changeIn) (*answer[wire.Changed], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			return s.changed(s.change(ctx, in.Body))
		})
	huma.Register(s.api, huma.Operation{OperationID: "undo", Method: http.MethodPost, Path: "/api/shops/{shop}/undo"},
		func(ctx context.Context, in *stepIn) (*answer[wire.Changed], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			if err := s.sameRun(in.Body.Run, nil); err != nil {
				return nil, problem(err)
			}
			return s.stepped(s.Desk.Undo(ctx, in.Body.Rev, once(in.Body.ID)...))
		})
	huma.Register(s.api, huma.Operation{OperationID: "redo", Method: http.MethodPost, Path: "/api/shops/{shop}/redo"},
		func(ctx context.Context, in *stepIn) (*answer[wire.Changed], error) {
			if err := known(in.Shop); err != nil {
				return nil, err
			}
			if err := s.sameRun(in.Body.Run, nil); err != nil {
				return nil, problem(err)
			}
			return s.stepped(s.Desk.Redo(ctx, in.Body.Rev, once(in.Body.ID)...))
		})
	huma.Register(s.api, huma.Operation{OperationID: "first", Method: http.MethodPost, Path: "/api/first"},
		func(ctx context.Context, in *firstIn) (*answer[wire.First], error) {
			if s.First == nil {
				return nil, huma.Error404NotFound("there is no first run here")
			}
			leave, err := s.works.enter(ctx)
			if err != nil {
				return nil, problem(err)
			}
			text, err := s.First(in.Body.Answers)
			leave()
			if err != nil {
				return nil, huma.Error422UnprocessableEntity(err.Error())
			}
			draft := string(text)
			look, err := s.look(ctx, wire.Ask{Text: &draft, Want: in.Body.Want})
			if err != nil {
				return nil, problem(err)
			}
			return &answer[wire.First]{wire.First{Text: draft, Look: look}}, nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "words", Method: http.MethodGet, Path: "/api/words"},
		func(context.Context, *struct{}) (*answer[wire.Words], error) {
			return &answer[wire.Words]{words()}, nil
		})
}

func known(shop string) error {
	if shop != shopID {
		return huma.Error404NotFound("there is no shop of that name here")
	}
	return nil
}

func once(id string) []desk.Option {
	if id == "" {
		return nil
	}
	return []desk.Option{desk.Once(id)}
}

// A change is edits or a text. Of both one would be lost, and of neither nothing would be saved that is said to be.
var (
	errBoth    = fmt.Errorf("%w: edits and a text are sent together; send one of them", errBadAsk)
	errNeither = fmt.Errorf("%w: neither edits nor a text are sent; send one of them", errBadAsk)
)

// change commits edits or a whole text.
func (s *Server) change(ctx context.Context, c wire.Change) (desk.Revision, error) {
	switch {
	case c.Text != nil && len(c.Edits) > 0:
		return desk.Revision{}, errBoth
	case c.Text == nil && c.Edits == nil:
		return desk.Revision{}, errNeither
	}
	if err := s.sameRun(c.Run, func(head *file.Doc) ([]byte, error) { return textOf(head, c) }); err != nil {
		return desk.Revision{}, err
	}
	if c.Text != nil {
		return s.Desk.CommitText(ctx, c.Rev, []byte(*c.Text), c.Cause, once(c.ID)...)
	}
	return s.Desk.CommitOf(ctx, c.Rev, func(doc *file.Doc) ([]shop.Edit, error) { return editsOf(doc, c.Edits) }, c.Cause, once(c.ID)...)
}

// textOf is the text that a change would make of the file as it stands.
func textOf(head *file.Doc, c wire.Change) ([]byte, error) {
	if c.Text != nil {
		return []byte(*c.Text), nil
	}
	edits, err := editsOf(head, c.Edits)
	if err != nil {
		return nil, err
	}
	next, err := head.Apply(edits...)
	if err != nil {
		return nil, err
	}
	return next.Text(), nil
}

// errOtherRun: the page holds what another start of the server showed it, maybe another shop altogether.
var errOtherRun = errors.New("the server was started anew since this page was read, and may serve another shop")

// sameRun refuses what was meant for another run, as a conflict with both texts; ours is left out where there is none.
func (s *Server) sameRun(run string, ours func(head *file.Doc) ([]byte, error)) error {
	if run == "" || run == s.run {
		return nil
	}
	conflict := &desk.Conflict{Head: s.Desk.Head(), Why: errOtherRun}
	if ours != nil {
		conflict.Ours, _ = ours(conflict.Head.Doc) // edits of another shop seldom fit
	}
	return conflict
}

// changed tells every page of a new revision and answers the one that made it.
func (s *Server) changed(r desk.Revision, err error) (*answer[wire.Changed], error) {
	if err != nil {
		return nil, problem(err)
	}
	s.hub.tell(event{rev: r.Number, cause: r.Cause})
	s.Log.Info("revision", "number", r.Number, "cause", r.Cause)
	return &answer[wire.Changed]{wire.Changed{Rev: r.Number, What: r.Cause}}, nil
}

// stepped answers undo and redo. Where there is nothing to do nothing happens, and that is no failure: the answer is the latest
// revision without a word of what was done.
func (s *Server) stepped(r desk.Revision, err error) (*answer[wire.Changed], error) {
	if errors.Is(err, desk.ErrNothingToUndo) || errors.Is(err, desk.ErrNothingToRedo) {
		return &answer[wire.Changed]{wire.Changed{Rev: s.Desk.Head().Number}}, nil
	}
	return s.changed(r, err)
}

// detail carries the parts of a refusal that the page shows: both texts of a conflict, the faults of a text.
type detail struct {
	huma.ErrorModel
	Yours  string       `json:"yours,omitempty"`
	Theirs string       `json:"theirs,omitempty"`
	Rev    int          `json:"rev,omitempty"`
	Faults []wire.Fault `json:"faults,omitempty"`
}

// problem turns an error into an answer: what happened, and what to do next.
func problem(err error) error {
	d := &detail{ErrorModel: huma.ErrorModel{Status: http.StatusInternalServerError, Detail: err.Error()}}
	var conflict *desk.Conflict
	var faulty *desk.Faulty
	var stale *desk.Stale
	var disk *desk.DiskError
	var edit *file.EditError
	switch {
	case errors.As(err, &conflict):
		d.Status, d.Yours, d.Theirs, d.Rev = http.StatusConflict, string(conflict.Ours), string(conflict.Head.Text), conflict.Head.Number
	case errors.As(err, &stale):
		d.Status, d.Rev = http.StatusConflict, stale.Head
	case errors.As(err, &faulty):
		d.Status, d.Faults = http.StatusUnprocessableEntity, faults(faulty.Faults)
	case errors.As(err, &edit):
		d.Status = http.StatusUnprocessableEntity
	case errors.As(err, &disk) && disk.Reason == desk.Full:
		d.Status = http.StatusInsufficientStorage
	case errors.As(err, &disk) && (disk.Reason == desk.ReadOnly || disk.Reason == desk.NoPermission):
		d.Status = http.StatusForbidden
	case errors.As(err, &disk):
		d.Status = http.StatusConflict
	case errors.Is(err, context.Canceled):
		d.Status = 499
	case errors.Is(err, errClosing):
		d.Status = http.StatusServiceUnavailable
	case errors.Is(err, errTooLarge):
		d.Status = http.StatusServiceUnavailable
	case errors.Is(err, errBadAsk):
		d.Status = http.StatusUnprocessableEntity
	}
	d.Title = http.StatusText(d.Status)
	return d
}

func faults(fs []file.Fault) []wire.Fault {
	out := make([]wire.Fault, len(fs))
	for i, f := range fs {
		out[i] = wire.Fault{Code: f.Code.Name, Line: f.Pos.Line, Column: f.Pos.Column, What: f.What, Cure: f.Cure, Text: f.Text("shop.yaml")}
	}
	return out
}
