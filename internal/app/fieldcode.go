package app

import (
	"context"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
)

// ShownFieldCode is the code by which recorders take part, for the desk.
type ShownFieldCode struct {
	// Code is empty while there is none.
	Code string    `json:"code" readOnly:"true"`
	Last trug.Date `json:"last" doc:"Last day on which it lets anybody in"`
	// Lets reports whether it lets anybody in today; Says why it does not.
	Lets bool   `json:"lets" readOnly:"true"`
	Says string `json:"says,omitempty" readOnly:"true"`
	// Closed is set while it is to let nobody in.
	Closed bool `json:"closed,omitempty"`
	// Let counts those whom it has let in; LetAt is when the latest came.
	Let   int       `json:"let,omitempty" readOnly:"true"`
	LetAt time.Time `json:"letAt,omitzero" readOnly:"true"`
	// Renew asks for another code in place of this one.
	Renew bool `json:"renew,omitempty"`
}

// FieldCode returns the season's field code for the desk.
func (a *App) FieldCode(ctx context.Context, v Viewer) (ShownFieldCode, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return ShownFieldCode{}, err
	}
	code, err := a.fieldCode(ctx, l.season.ID)
	return a.shownFieldCode(l, code), err
}

// fieldCode returns the season's field code, an empty one while there is none.
func (a *App) fieldCode(ctx context.Context, season trug.ID) (code trug.FieldCode, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		list, err := store.ListSecrets[trug.FieldCode](ctx, r, store.SecretFilter{Season: season})
		if err == nil && len(list) > 0 {
			code = list[0]
		}
		return err
	})
	return code, err
}

func (a *App) shownFieldCode(l *ledger, code trug.FieldCode) ShownFieldCode {
	shown := ShownFieldCode{Code: code.Code, Last: code.Last, Closed: code.Closed, Let: code.Let, LetAt: code.LetAt}
	switch {
	case code.Code == "":
		shown.Says = "There is no field code yet: make one, and print it on the poster."
		shown.Last = l.season.Ends
	case l.season.Opened == "":
		shown.Says = "The season is not open to recorders yet: until it is, the code lets nobody in."
	case code.Closed:
		shown.Says = "The code is closed: it lets nobody in until you open it again."
	case a.today(l.season) > code.Last:
		shown.Says = "The code was good until " + dayWords(code.Last) + ": set a later day, or make a new one."
	default:
		shown.Lets = true
	}
	return shown
}

// SaveFieldCode makes the season's field code, sets its last day, closes or
// opens it, or puts a new one in its place. Who has come in by the old one stays.
func (a *App) SaveFieldCode(ctx context.Context, v Viewer, e ShownFieldCode) (ShownFieldCode, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownFieldCode{}, err
	}
	if !e.Last.Valid() {
		return ShownFieldCode{}, trug.Errorf(trug.Invalid, "last", "%q is not a day: write the last day of the code as 2026-10-25", e.Last)
	}
	var code trug.FieldCode
	err = a.write(ctx, func(w store.Writer) error {
		list, err := store.ListSecrets[trug.FieldCode](ctx, w, store.SecretFilter{Season: l.season.ID})
		if err != nil {
			return err
		}
		if len(list) > 0 {
			code = list[0]
		} else if code, err = a.newFieldCode(l.season.ID); err != nil {
			return err
		}
		if e.Renew && len(list) > 0 {
			if code.Code, err = signin.NewFieldCode(a.Random); err != nil {
				return err
			}
			code.Let, code.LetAt = 0, time.Time{}
		}
		code.Last, code.By, code.Closed = e.Last, v.Person.ID, e.Closed
		if err := store.PutSecret(ctx, w, code); err != nil {
			return err
		}
		return lastWith(ctx, w, code)
	})
	return a.shownFieldCode(l, code), err
}

func (a *App) newFieldCode(season trug.ID) (code trug.FieldCode, err error) {
	code = trug.FieldCode{SeasonID: season, Created: a.Clock()}
	if code.ID, err = a.newID(); err != nil {
		return code, err
	}
	code.Code, err = signin.NewFieldCode(a.Random)
	return code, err
}

// TakenCode is what a recorder gives to take part.
type TakenCode struct {
	Code string `json:"code" maxLength:"100"`
	Name string `json:"name" maxLength:"200" doc:"Name to be shown to people of the season"`
	// Back lets in only whom this taking let in before, and nobody new.
	Back bool `json:"back,omitempty" doc:"Lets in only whom this taking let in before"`
	// Taking is a random identifier that the phone makes for this one time: where the
	// answer was lost, the same code, name and identifier are the same person again.
	Taking trug.ID `json:"taking,omitempty" maxLength:"100" doc:"Random identifier, a UUID of version 7, that the phone makes for this one time; asked again with it, the same person comes in"`
}

// mostShown is the most characters of a name to be shown.
const mostShown = 40

// TakeFieldCode lets somebody in as recorder: by the season's code and a name
// to be shown, and nothing else. Nothing is published under the name until
// they ask for it. Told again with the same identifier of its taking, it makes
// a further session of the same person.
func (a *App) TakeFieldCode(ctx context.Context, v Viewer, c Caller, t TakenCode) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	code, err := signin.ReadFieldCode(t.Code)
	if err != nil {
		return Entered{}, err
	}
	name, err := shownNameOf(t.Name)
	if err != nil {
		return Entered{}, err
	}
	if t.Taking != "" && !t.Taking.Valid() {
		return Entered{}, trug.Errorf(trug.Invalid, "taking", "the identifier of a taking is a UUID of version 7, made on the phone; leave it out if there is none")
	}
	var in Entered
	err = a.guarded(ctx, guess{Caller: c, what: trug.ByFieldCode, season: v.Season}, func() error {
		return a.write(ctx, func(w store.Writer) error {
			held, err := store.SecretByKey[trug.FieldCode](ctx, w, code)
			if err != nil {
				if trug.KindOf(err) == trug.NotFound {
					err = trug.Errorf(trug.NotEntered, "code", "No season has this field code now: compare it letter by letter, or ask the coordinator whether there is a new one.")
				}
				return err
			}
			var again bool
			if in, again, err = a.joinAgain(ctx, w, c, held, name, t.Taking); again || err != nil {
				return err
			}
			if t.Back {
				return trug.Errorf(trug.NotEntered, "code", "Whom this phone let in is no longer in: take the field code anew.")
			}
			if in, err = a.joinAs(ctx, w, c, held, name); err != nil {
				return err
			}
			return a.keepTaking(ctx, w, held, in.Person, name, t.Taking)
		})
	})
	return in, err
}

// joinAs makes a recorder of the name in the code's season.
func (a *App) joinAs(ctx context.Context, w store.Writer, c Caller, code trug.FieldCode, name string) (Entered, error) {
	s, err := store.Get[trug.Season](ctx, w, code.SeasonID)
	switch {
	case err != nil:
		return Entered{}, err
	case s.Opened == "":
		return Entered{}, trug.Errorf(trug.NotAllowed, "code", "%s is not open to recorders yet. Come back when the coordinator says so.", s.Title)
	case code.Closed:
		return Entered{}, trug.Errorf(trug.NotAllowed, "code", "The coordinator has closed this field code for now. Ask them when it lets people in.")
	case a.today(s) > code.Last:
		return Entered{}, trug.Errorf(trug.NotAllowed, "code", "This field code was good until %s. Ask the coordinator for the one of today.", daySaid(code.Last))
	}
	if err := a.countIn(ctx, w, a.places(comer(c, code)), true); err != nil {
		return Entered{}, err
	}
	p := trug.Person{SeasonID: s.ID, Name: name, Roles: []trug.Role{trug.RecorderRole}, Created: a.Clock()}
	if err := a.stampPerson(&p); err != nil {
		return Entered{}, err
	}
	if err := p.Validate(); err != nil {
		return Entered{}, err
	}
	if err := store.Put(ctx, w, p, store.Author{Person: p.ID, Device: a.Device}, a.Clock()); err != nil {
		return Entered{}, err
	}
	code.Let, code.LetAt = code.Let+1, a.Clock()
	if err := store.PutSecret(ctx, w, code); err != nil {
		return Entered{}, err
	}
	return a.enter(ctx, w, c, p, trug.ByFieldCode)
}

// takingKey is under what it is kept that a phone took the code under a name. The
// name is in it: two of a family who share a phone are two people, whatever its
// app does.
func takingKey(code trug.FieldCode, name string, taking trug.ID) string {
	return signin.HashToken("taking\x00" + string(code.ID) + code.Code + "\x00" + string(taking) + "\x00" + name)
}

// joinAgain lets in whom the code has let in already at this taking; again tells
// whether it has. That the code is closed meanwhile shuts out nobody who was in.
func (a *App) joinAgain(ctx context.Context, w store.Writer, c Caller, code trug.FieldCode, name string, taking trug.ID) (in Entered, again bool, err error) {
	if taking == "" {
		return in, false, nil
	}
	held, err := store.SecretByKey[trug.Taking](ctx, w, takingKey(code, name, taking))
	if err != nil || a.Clock().After(held.Until) {
		return in, false, unlessNotFound(err)
	}
	p, err := store.Get[trug.Person](ctx, w, held.PersonID)
	if err != nil {
		return in, false, err
	}
	in, err = a.enter(ctx, w, c, p, trug.ByFieldCode)
	return in, true, err
}

// keepTaking keeps whom the code let in at a taking, for the code's life.
func (a *App) keepTaking(ctx context.Context, w store.Writer, code trug.FieldCode, p trug.Person, name string, taking trug.ID) error {
	if _, err := store.DropSecrets[trug.Taking](ctx, w, store.SecretFilter{Over: a.Clock()}); err != nil || taking == "" {
		return err
	}
	id, err := a.newID()
	if err != nil {
		return err
	}
	until, err := takingsLast(code)
	if err != nil {
		return err
	}
	return store.PutSecret(ctx, w, trug.Taking{ID: id, SeasonID: code.SeasonID, PersonID: p.ID, Hash: takingKey(code, name, taking), Until: until})
}

// takingsLast returns when the takings of a code are over. Two days after its last: it
// is over everywhere by then, and whoever came in at the last hour has had another
// day for the answer.
func takingsLast(code trug.FieldCode) (time.Time, error) {
	last, err := time.Parse(time.DateOnly, string(code.Last))
	return last.AddDate(0, 0, 2), err
}

// lastWith has the takings of a code last as long as it does when its last day is
// changed: a phone that asks again would be somebody new.
func lastWith(ctx context.Context, w store.Writer, code trug.FieldCode) error {
	until, err := takingsLast(code)
	if err != nil {
		return err
	}
	list, err := store.ListSecrets[trug.Taking](ctx, w, store.SecretFilter{Season: code.SeasonID})
	if err != nil {
		return err
	}
	for _, t := range list {
		if t.Until.Equal(until) {
			continue
		}
		t.Until = until
		if err := store.PutSecret(ctx, w, t); err != nil {
			return err
		}
	}
	return nil
}

// comer is somebody new as they are counted: by the code, so that a new code
// begins anew.
func comer(c Caller, code trug.FieldCode) guess {
	return guess{Caller: c, what: newRecorders, season: code.SeasonID, code: code.Code}
}

// shownNameOf returns a name as it is to be shown, or says what is wrong.
func shownNameOf(name string) (string, error) {
	name = strings.Join(strings.Fields(strings.ToValidUTF8(name, "")), " ")
	switch n := utf8.RuneCountInString(name); {
	case n == 0:
		return "", trug.Errorf(trug.Invalid, "name", "Say what people of the season may call you; a first name or a made-up name is enough.")
	case n > mostShown:
		return "", trug.Errorf(trug.Invalid, "name", "This name has %d letters; %d are enough to be called by.", n, mostShown)
	case strings.ContainsFunc(name, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) && r != '\u200d' }):
		return "", trug.Errorf(trug.Invalid, "name", "This name holds characters that can't be shown: type it again.")
	case strings.ContainsAny(name, "@"):
		return "", trug.Errorf(trug.Invalid, "name", "No e-mail address, please: a name to be called by is enough.")
	}
	return name, nil
}
