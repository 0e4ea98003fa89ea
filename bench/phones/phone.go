package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	mrand "math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"slices"
	"time"

	"trug"
)

type randomBytes struct{}

func (randomBytes) Read(b []byte) (int, error) { return rand.Read(b) }

// phone is one simulated phone with what it holds.
type phone struct {
	plan
	at     string
	code   string
	name   string
	id     trug.ID
	taking trug.ID // of the field code, told again until the answer comes
	from   string  // the address that its network gives it
	client *http.Client
	dice   *mrand.Rand
	last   int64 // number of its latest message
	finds  []*find
	tally
}

// find is a record on a phone.
type find struct {
	record  trug.ID
	remarks string
	views   []*view
}

// view is a photograph on a phone, made again from its seed when it is sent.
type view struct {
	of   picture
	seed uint64
	hash string
	size int
	kind string
	kept bool // the server has said that it is durable there
}

var kinds = []string{"top", "side", "underneath", "surroundings", "cut", "base"}

// newPhones makes the phones of a plan, each with its finds.
func newPhones(p plan, at, code string) []*phone {
	var all []*phone
	seed := p.seed << 32
	for g, of := range p.groups {
		shot := newPicture(of.bytes, of.pixels, p.seed+uint64(g))
		for range of.phones {
			n := len(all)
			one := &phone{plan: p, at: "http://" + at, code: code, name: fmt.Sprintf("Phone %d", n+1), from: fmt.Sprintf("10.%d.%d.7", n/250, n%250+1),
				dice: mrand.New(mrand.NewPCG(p.seed, uint64(n)))}
			jar, _ := cookiejar.New(nil)
			one.client = &http.Client{Jar: jar, Timeout: 3 * time.Minute, Transport: &http.Transport{MaxConnsPerHost: 2, DisableCompression: true}}
			one.id, _ = newID()
			one.taking, _ = newID()
			for range of.finds {
				f := &find{}
				f.record, _ = newID()
				for i := range of.views {
					seed++
					data := shot.bytesOf(seed)
					f.views = append(f.views, &view{of: shot, seed: seed, hash: hashOf(data), size: len(data), kind: kinds[i%len(kinds)]})
				}
				one.finds = append(one.finds, f)
			}
			all = append(all, one)
		}
	}
	return all
}

// live joins the season and sends all that the phone holds; it tries again
// until all is confirmed or ctx ends.
func (p *phone) live(ctx context.Context) error {
	sleep(ctx, time.Duration(p.dice.Float64()*float64(5*time.Second)))
	if err := p.until(ctx, p.join); err != nil {
		return err
	}
	if err := p.until(ctx, func(ctx context.Context) error { return p.ask(ctx, "GET", "/api/field", nil, nil) }); err != nil {
		return err
	}
	for n, f := range p.finds {
		if err := p.sendFind(ctx, f, n); err != nil {
			return fmt.Errorf("%s, find %d: %w", p.name, n+1, err)
		}
	}
	return nil
}

// wrong is an error that trying again does not mend.
type wrong struct{ error }

// until tries again, after longer and longer waits, what can succeed later.
func (p *phone) until(ctx context.Context, do func(context.Context) error) error {
	wait := 200 * time.Millisecond
	for {
		err := do(ctx)
		if w := (wrong{}); err == nil || errors.As(err, &w) {
			return err
		}
		if ctx.Err() != nil {
			return errors.Join(context.Cause(ctx), err)
		}
		p.count(func(t *counts) { t.failed++ })
		sleep(ctx, time.Duration(float64(wait)*(0.5+p.dice.Float64())))
		wait = min(2*wait, 10*time.Second)
	}
}

func (p *phone) join(ctx context.Context) error {
	return p.ask(ctx, "POST", "/api/come-in/field-code", map[string]string{"code": p.code, "name": p.name, "taking": string(p.taking)}, nil)
}

// message is a message of the phone, as the web app writes it.
type message struct {
	Phone  trug.ID        `json:"phone"`
	Number int64          `json:"number"`
	Record trug.ID        `json:"record"`
	Seen   int            `json:"seen"`
	Made   time.Time      `json:"made"`
	Sent   time.Time      `json:"sent"`
	Set    map[string]any `json:"set"`
	Views  []sentView     `json:"views"`
}

type sentView struct {
	Photograph string `json:"photograph"`
	Kind       string `json:"kind"`
	FileName   string `json:"fileName"`
}

// answer is what the server says of a message.
type answer struct {
	State   string   `json:"state"`
	Version int      `json:"version"`
	Kept    []string `json:"kept"`
	Missing []string `json:"missing"`
	Says    string   `json:"says"`
}

// sendFind sends a find: of every second the last view follows with a second
// message, after the first was taken, with words that the first had not.
func (p *phone) sendFind(ctx context.Context, f *find, n int) error {
	first, then := f.views, []*view(nil)
	if n%2 == 1 && len(f.views) > 1 {
		first, then = f.views[:len(f.views)-1], f.views[len(f.views)-1:]
	}
	f.remarks = fmt.Sprintf("find %d of %s", n+1, p.name)
	set := map[string]any{"found": map[string]string{"date": time.Now().UTC().Format(time.DateOnly)}, "place": map[string]any{"lat": 48.5, "lon": -19.5, "uncertainty": 20, "source": "phone"}, "remarks": f.remarks}
	version, err := p.tell(ctx, f, set, first, 0)
	if err != nil || then == nil {
		return err
	}
	f.remarks += ", with another view"
	_, err = p.tell(ctx, f, map[string]any{"remarks": f.remarks}, then, version)
	return err
}

// tell sends photographs and a message of a record until both are confirmed.
func (p *phone) tell(ctx context.Context, f *find, set map[string]any, views []*view, seen int) (version int, err error) {
	p.last++
	m := message{Phone: p.id, Number: p.last, Record: f.record, Seen: seen, Made: time.Now(), Set: set, Views: []sentView{}}
	for _, v := range views {
		m.Views = append(m.Views, sentView{v.hash, v.kind, "IMG.jpg"})
	}
	if p.dice.IntN(4) > 0 { // else the server says what is missing
		if err := p.hand(ctx, views); err != nil {
			return 0, err
		}
	}
	sent := 0
	err = p.until(ctx, func(ctx context.Context) error {
		got, err := p.sendMessage(ctx, m, sent > 0)
		sent++
		if err != nil {
			return err
		}
		version = got.Version
		return p.heed(ctx, got, views)
	})
	if err == nil && p.dice.IntN(20) == 0 { // as if the answer had been lost
		_ = p.until(ctx, func(ctx context.Context) error { _, err := p.sendMessage(ctx, m, true); return err })
	}
	if err == nil && seen == 0 {
		p.count(func(t *counts) { t.taken++ })
	}
	return version, err
}

// sendMessage sends one message and reads its answer.
func (p *phone) sendMessage(ctx context.Context, m message, again bool) (answer, error) {
	m.Sent = time.Now()
	var got []answer
	began := time.Now()
	err := p.ask(ctx, "POST", "/api/field/messages", map[string]any{"messages": []message{m}}, &got)
	if err == nil && len(got) != 1 {
		err = wrong{fmt.Errorf("%d answers to one message", len(got))}
	}
	if err != nil {
		return answer{}, err
	}
	p.count(func(t *counts) {
		t.messages++
		if again {
			t.repeated++
		}
		t.took = append(t.took, time.Since(began))
	})
	return got[0], nil
}

// heed does what the answer to a message asks for; nil when all is kept.
func (p *phone) heed(ctx context.Context, got answer, views []*view) error {
	switch got.State {
	case "taken":
		for _, v := range views {
			if !slices.Contains(got.Kept, v.hash) {
				return wrong{fmt.Errorf("the record is taken without its photograph %s", v.hash)}
			}
			v.kept = true // from here on the phone has it no more
		}
		return nil
	case "missing":
		var missing []*view
		for _, v := range views {
			if slices.Contains(got.Missing, v.hash) {
				missing = append(missing, v)
			}
		}
		if err := p.hand(ctx, missing); err != nil {
			return err
		}
		return errors.New("missing photographs were sent")
	case "later":
		return errors.New(got.Says)
	}
	return wrong{fmt.Errorf("a message is %s: %s", got.State, got.Says)}
}
