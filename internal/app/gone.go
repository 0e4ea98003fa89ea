package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// GivenTakingOut says that somebody's name is to be taken out of the season.
type GivenTakingOut struct {
	// Name is theirs, typed again, so that nobody goes by a slip of the finger.
	Name string `json:"name" maxLength:"300"`
	// Originals asks for the originals of their photographs to be deleted; the
	// smaller copies without metadata stay.
	Originals bool `json:"originals,omitempty"`
}

// TakeOutName takes somebody's name and all that tells who they are out of the
// season: out of rows and of every amendment, sign-ups, sessions and ways in.
// Records, determinations and places stay, by "a recorder whose name was taken
// out". For oneself, a child that takes part under one, and the coordinator.
// It can't be undone. Doing it again changes nothing.
func (a *App) TakeOutName(ctx context.Context, v Viewer, who trug.ID, g GivenTakingOut) error {
	l, p, err := a.whose(ctx, v, TakeOutName, who)
	if err != nil {
		return err
	}
	if !p.Gone.IsZero() {
		return nil
	}
	if !strings.EqualFold(strings.Join(strings.Fields(g.Name), " "), strings.Join(strings.Fields(p.Name), " ")) {
		return trug.Errorf(trug.Invalid, "name", "type the name as it stands here, %s: taking it out can't be undone", p.Name)
	}
	if i := slices.IndexFunc(l.childrenOf(p.ID), func(c trug.Person) bool { return c.Gone.IsZero() }); i >= 0 {
		return trug.Errorf(trug.Invalid, "name", "children take part under this person: take their names out first, or ask the coordinator to put them under another adult")
	}
	k := l.thingsOf(p)
	things := l.redactable(p)
	telling := trug.Redaction{SeasonID: l.season.ID, PersonID: p.ID, By: v.Person.ID, Created: a.Clock()}
	if telling.ID, err = a.newID(); err != nil {
		return err
	}
	for _, t := range things {
		telling.Of = append(telling.Of, t.ID)
	}
	row, err := store.RowOf(telling)
	if err != nil {
		return err
	}
	err = a.write(ctx, func(w store.Writer) error {
		return a.keptInHands(ctx, w, v, l, func() error { return a.takeOut(ctx, w, v, p, row, things) })
	})
	if err != nil || !g.Originals {
		return err
	}
	return a.deleteOriginals(ctx, v, k.photographs)
}

func (l *ledger) childrenOf(id trug.ID) (out []trug.Person) {
	for _, c := range l.people {
		if c.Guardian == id {
			out = append(out, c)
		}
	}
	return out
}

// takeOut does the work within the transaction.
func (a *App) takeOut(ctx context.Context, w store.Writer, v Viewer, p trug.Person, telling store.Row, things []store.Named) error {
	if err := w.Redact(ctx, telling, things, blankOf(p), a.author(v), a.Clock()); err != nil {
		return err
	}
	now, err := store.Get[trug.Person](ctx, w, p.ID)
	if err != nil {
		return err
	}
	// Without a part in the season, so that nobody counts on them.
	now.Gone, now.Roles = a.Clock(), nil
	if err := store.Put(ctx, w, now, a.author(v), a.Clock()); err != nil {
		return err
	}
	used, err := store.ListSecrets[trug.Invitation](ctx, w, store.SecretFilter{Season: p.SeasonID})
	if err != nil {
		return err
	}
	for _, i := range used { // whose note may bear the name
		if i.UsedBy == p.ID {
			if _, err := store.DropSecrets[trug.Invitation](ctx, w, store.SecretFilter{ID: i.ID}); err != nil {
				return err
			}
		}
	}
	return dropWays(ctx, w, p.ID, true)
}

// redactable lists what may bear words that tell who somebody is. Forays are all
// gone through, since a sign-up that was taken back stands in their history.
func (l *ledger) redactable(p trug.Person) []store.Named {
	out := []store.Named{{Kind: store.People, ID: p.ID}}
	add := func(kind store.Kind, id trug.ID) { out = append(out, store.Named{Kind: kind, ID: id}) }
	for _, f := range l.finds {
		if f.ID == "" {
			continue
		}
		// Others' records may say that this person named the find.
		add(store.Records, f.ID)
		for _, x := range f.passes {
			if x.By == p.ID {
				add(store.Passes, x.ID)
			}
		}
	}
	for _, x := range l.photographs {
		if x.By == p.ID {
			add(store.Photographs, x.ID)
		}
	}
	for _, y := range l.forays {
		add(store.Forays, y.ID)
	}
	slices.SortFunc(out, func(x, y store.Named) int { return strings.Compare(string(x.ID), string(y.ID)) })
	return out
}

// blankOf returns what stays of a body when the person is taken out of it. It
// gives the same for the same body, so that amendments still follow on each other.
func blankOf(p trug.Person) func(store.Kind, json.RawMessage) (json.RawMessage, error) {
	return func(kind store.Kind, body json.RawMessage) (json.RawMessage, error) {
		switch kind {
		case store.People:
			return blanked(body, func(x *trug.Person) bool { *x = x.TakenOut(); return true })
		case store.Records:
			return blanked(body, func(r *trug.Record) bool { return blankRecord(r, p) })
		case store.Passes:
			return blanked(body, func(x *trug.Pass) bool { had := x.Remark != ""; x.Remark = ""; return had })
		case store.Photographs:
			return blanked(body, func(x *trug.Photograph) bool {
				had := x.FileName + x.Camera
				x.FileName, x.Camera, x.Notes = "", "", nil
				return had != ""
			})
		case store.Forays:
			return blanked(body, func(y *trug.Foray) bool {
				is := func(id trug.ID) bool { return id == p.ID }
				had := slices.ContainsFunc(y.SignedUp, is) || slices.ContainsFunc(y.Asking, is)
				y.SignedUp, y.Asking = slices.DeleteFunc(y.SignedUp, is), slices.DeleteFunc(y.Asking, is)
				return had
			})
		}
		return nil, fmt.Errorf("nobody has said what of a %s tells who somebody is", kind.Word())
	}
}

// blankRecord takes the recorder's own words out of their record, and the name
// out of anybody's where it says who named the find in the hand.
func blankRecord(r *trug.Record, p trug.Person) (changed bool) {
	for _, name := range []string{p.Name, p.Credit} {
		if name != "" && strings.EqualFold(strings.TrimSpace(r.FieldName.By), name) {
			r.FieldName.By, changed = trug.NameTakenOut, true
		}
	}
	if r.RecorderID != p.ID {
		return changed
	}
	if r.Remarks != "" {
		r.Remarks, changed = "", true
	}
	if r.Place != nil && r.Place.Verbatim != "" {
		r.Place.Verbatim, changed = "", true
	}
	return changed
}

// blanked changes the thing in a body; a body that has nothing to hide stays
// byte for byte as it was written.
func blanked[T store.Thing](body json.RawMessage, change func(*T) bool) (json.RawMessage, error) {
	var thing T
	if err := json.Unmarshal(body, &thing); err != nil {
		return nil, err
	}
	if !change(&thing) {
		return body, nil
	}
	return json.Marshal(thing)
}

// deleteOriginals deletes the originals of photographs; what is left of each is
// the screen derivative, which has no metadata.
func (a *App) deleteOriginals(ctx context.Context, v Viewer, list []trug.Photograph) error {
	for _, p := range list {
		if !p.OriginalGone.IsZero() {
			continue
		}
		var gone trug.Hash
		err := a.write(ctx, func(w store.Writer) error {
			now, err := store.Get[trug.Photograph](ctx, w, p.ID)
			if err != nil {
				return err
			}
			gone = now.Original
			now.Original, now.Bytes, now.Format = now.Screen.Hash, now.Screen.Bytes, "jpeg"
			now.Width, now.Height, now.OriginalGone, now.Crop = now.Screen.Width, now.Screen.Height, a.Clock(), nil
			if err := store.Put(ctx, w, now, a.author(v), a.Clock()); err != nil {
				return err
			}
			return a.stillUsed(ctx, w, &gone)
		})
		if err != nil {
			return err
		}
		if gone != "" {
			if err := a.Blobs.Remove(ctx, gone); err != nil {
				return fmt.Errorf("delete an original: %w", err)
			}
		}
	}
	return nil
}

// stillUsed blanks the hash where a photograph of another season has the same file.
func (a *App) stillUsed(ctx context.Context, r store.Reader, h *trug.Hash) error {
	same, err := store.List[trug.Photograph](ctx, r, store.Filter{Key: string(*h)})
	if len(same) > 0 {
		*h = ""
	}
	return err
}
