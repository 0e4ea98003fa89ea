package app

import (
	"context"
	"encoding/hex"
	"net/netip"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
	"trug/science/said"
)

// Caller is from where somebody asks to be let in.
type Caller struct {
	// Address is the network address; it is hashed before it is kept.
	Address string
	// Device is what the device's own cookie holds; empty where it has none.
	Device string
	// Label says in words what sort of device it is.
	Label string
	// Origin is the page's scheme, host and port, to which passkeys are bound.
	Origin string
}

// network returns the part of an address that one subscriber holds: an IPv6
// address stands for its network of 64 bits.
func (c Caller) network() string {
	at, err := netip.ParseAddr(c.Address)
	if err != nil {
		return c.Address
	}
	at = at.Unmap().WithZone("")
	if at.Is6() {
		if p, err := at.Prefix(64); err == nil {
			return p.String()
		}
	}
	return at.String()
}

// What wrong guesses are counted of.
const (
	ofDevice  = "device"
	ofAddress = "address"
	ofName    = "name"
	ofSeason  = "season"
)

// limits say how many guesses in a row each may make and how long one takes to
// be forgiven. A village hall is one address: forty children mistype its code
// and still come in. For the whole season the least is 600 an hour, at which
// somebody with thousands of addresses needs 300 years for half of all field
// codes. They are our own judgement. That of a name keeps the tries at one
// account below the hundred in a row of NIST SP 800-63B, section 5.2.2, for a day
// and a half.
var limits = map[string]signin.Limit{
	ofDevice:  {Guesses: 8, Each: time.Minute},
	ofAddress: {Guesses: 40, Each: 15 * time.Second},
	ofName:    {Guesses: 10, Each: 20 * time.Minute},
	ofSeason:  {Guesses: 600, Each: 6 * time.Second},
}

// newRecorders is what is counted of those whom the field code lets in: that
// it is right makes it no less a thing that hangs on walls and gets about.
const newRecorders trug.WayIn = "new recorders"

// joining says how many one valid field code may let in at once, and how long
// the next then waits. On a hall's opening evening some hundreds come in behind
// one address within half an hour: 300 at once and six a minute. A class of
// thirty comes in without noticing. A stand's tablet lets in ten and then one
// every two minutes. The whole season takes a thousand at once and 180 an hour,
// so that who has photographed the poster makes some 5,000 names in a day from
// however many addresses, and the coordinator sees it long before. They are
// our own judgement.
var joining = map[string]signin.Limit{
	ofDevice:  {Guesses: 10, Each: 2 * time.Minute},
	ofAddress: {Guesses: 300, Each: 10 * time.Second},
	ofSeason:  {Guesses: 1000, Each: 20 * time.Second},
}

// limitOf returns how many of what are let through from a place of a sort.
func limitOf(what trug.WayIn, of string) signin.Limit {
	if what == newRecorders {
		return joining[of]
	}
	return limits[of]
}

// guessesLast is how long it is remembered that somebody guessed.
const guessesLast = 30 * aDay

// remembered is how long a count is kept: that of wrong guesses for a month;
// that of people who came in only until it slows nobody any more, since most
// of them are whom the code is for, unless they were unusually many.
func remembered(g trug.Guesses) time.Duration {
	l := limitOf(g.What, g.Of)
	if g.What == newRecorders && !unusual(g) {
		return time.Duration((g.Fill + 1) * float64(l.Each))
	}
	return guessesLast
}

// unusual reports whether a count is worth the coordinator's eye: each wrong
// guess is, and more than half of the people who may come in at once.
func unusual(g trug.Guesses) bool {
	return g.What != newRecorders || g.Wrong > limitOf(g.What, g.Of).Guesses/2
}

// guess is a try to come in.
type guess struct {
	Caller
	what   trug.WayIn
	season trug.ID
	name   string // folded, where one is given with it
	code   string // that let a new recorder in
}

// places lists what the guess is counted of, with the hashes they are kept under.
func (a *App) places(g guess) []trug.Guesses {
	var out []trug.Guesses
	for _, of := range []struct{ of, value string }{{ofDevice, g.Device}, {ofAddress, g.network()}, {ofName, g.name}, {ofSeason, string(g.season)}} {
		if of.value == "" || limitOf(g.what, of.of).Guesses == 0 {
			continue
		}
		key := hex.EncodeToString(a.sign("guess", string(g.what)+g.code+"\x00"+of.of+"\x00"+of.value))
		out = append(out, trug.Guesses{SeasonID: g.season, Place: key, What: g.what, Of: of.of, Mark: signin.Mark(a.Secret, of.of+"\x00"+of.value)})
	}
	return out
}

// guarded runs try, which returns an error of kind NotEntered for a wrong
// guess. Each guess is counted before it is tried, so that a thousand at once
// gain nothing, and taken off again when it was right or no guess at all.
func (a *App) guarded(ctx context.Context, g guess, try func() error) error {
	if slowWay(g.what) {
		if err := a.brakes.slow.take(a.Clock(), g.Caller.places()); err != nil {
			return err
		}
	}
	places := a.places(g)
	if err := a.count(ctx, places, true); err != nil {
		return err
	}
	err := try()
	if trug.KindOf(err) == trug.NotEntered && err != nil {
		return err
	}
	if back := a.count(context.WithoutCancel(ctx), places, false); back != nil && err == nil {
		return back
	}
	return err
}

// count pours a guess into each place's bucket, or takes it back. It refuses
// with an error of kind TooOften, and then counts nothing.
func (a *App) count(ctx context.Context, places []trug.Guesses, pour bool) error {
	return a.write(ctx, func(w store.Writer) error { return a.countIn(ctx, w, places, pour) })
}

// countIn is count within a transaction.
func (a *App) countIn(ctx context.Context, w store.Writer, places []trug.Guesses, pour bool) error {
	now := a.Clock()
	if _, err := store.DropSecrets[trug.Guesses](ctx, w, store.SecretFilter{Over: now}); err != nil {
		return err
	}
	kept := make([]trug.Guesses, len(places))
	for i, p := range places {
		held, err := store.SecretByKey[trug.Guesses](ctx, w, p.Place)
		switch {
		case trug.KindOf(err) == trug.NotFound && err != nil:
			held = p
			if held.ID, err = a.newID(); err != nil {
				return err
			}
			held.First = now
		case err != nil:
			return err
		}
		level := signin.Level{Fill: held.Fill, At: held.At}
		limit := limitOf(p.What, p.Of)
		if pour {
			if wait := limit.Wait(level, now); wait > 0 {
				return tooOften(p.What, wait)
			}
			level = limit.Pour(level, now)
			held.Wrong, held.Last = held.Wrong+1, now
		} else {
			level = limit.Back(level, now)
			held.Wrong = max(0, held.Wrong-1)
		}
		held.Fill, held.At = level.Fill, level.At
		held.Until = held.Last.Add(remembered(held))
		kept[i] = held
	}
	for _, k := range kept {
		if err := keepOrDrop(ctx, w, k); err != nil {
			return err
		}
	}
	return nil
}

// keepOrDrop keeps a count; one of nothing is not worth keeping.
func keepOrDrop(ctx context.Context, w store.Writer, g trug.Guesses) error {
	if g.Wrong == 0 {
		_, err := store.DropSecrets[trug.Guesses](ctx, w, store.SecretFilter{ID: g.ID})
		return err
	}
	return store.PutSecret(ctx, w, g)
}

// timeWords says how long to wait.
func timeWords(wait time.Duration) said.Sentence {
	if wait <= time.Minute {
		return said.As("a minute")
	}
	return said.As("{n} minutes", "n", int(wait.Minutes())+1)
}

func tooOften(what trug.WayIn, wait time.Duration) error {
	words := timeWords(wait)
	if what == newRecorders {
		return trug.Errorf(trug.TooOften, "", "Many people came in by this field code in a short time. Wait %s, then try again; the coordinator can let everybody in at once.", words)
	}
	return trug.Errorf(trug.TooOften, "", "Too many wrong ones were tried. Wait %s, then try again; the coordinator can help too.", words)
}

// ShownGuesses tells the coordinator what was tried in vain to come in.
type ShownGuesses struct {
	What string `json:"what" doc:"What was tried: field code, password …; or new recorders, who came in by the right field code in unusual numbers"`
	// From names the place by a mark that leads nobody back: "address K7WM".
	From  string    `json:"from"`
	Wrong int       `json:"wrong" doc:"How many were wrong; of new recorders how many there were"`
	First time.Time `json:"first"`
	Last  time.Time `json:"last"`
	// Waits is set while the next try from there has to wait.
	Waits bool `json:"waits"`
}

// Guesses lists what was tried in vain to come in over the last thirty days,
// and from where unusually many came in by the field code, latest first. Network addresses are not kept; a mark tells them apart.
func (a *App) Guesses(ctx context.Context, v Viewer) ([]ShownGuesses, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return nil, err
	}
	out := []ShownGuesses{}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		all, err := store.ListSecrets[trug.Guesses](ctx, r, store.SecretFilter{Season: l.season.ID})
		for _, g := range all {
			if !unusual(g) {
				continue
			}
			from := g.Of + " " + g.Mark
			if g.Of == ofSeason {
				from = "the whole season"
			}
			out = append(out, ShownGuesses{What: string(g.What), From: from, Wrong: g.Wrong, First: g.First, Last: g.Last,
				Waits: limitOf(g.What, g.Of).Wait(signin.Level{Fill: g.Fill, At: g.At}, a.Clock()) > 0})
		}
		return err
	})
	slices.SortFunc(out, func(x, y ShownGuesses) int {
		if c := y.Last.Compare(x.Last); c != 0 {
			return c
		}
		return strings.Compare(x.What+x.From, y.What+y.From)
	})
	return out, err
}

// ForgetGuesses empties the season's counts, so that those who wait may try
// again at once: for the coordinator of a hall where a code was misread.
func (a *App) ForgetGuesses(ctx context.Context, v Viewer) error {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return err
	}
	return a.write(ctx, func(w store.Writer) error {
		_, err := store.DropSecrets[trug.Guesses](ctx, w, store.SecretFilter{Season: l.season.ID})
		return err
	})
}
