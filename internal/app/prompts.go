package app

import (
	"context"
	"fmt"

	"trug"
	"trug/science/said"
)

// Prompt is something that a question or a request could ask people to do to
// a fruitbody.
type Prompt string

// The prompts. Looking and photographing need no leave beyond being there.
const (
	ToPick  Prompt = "pick"
	ToCut   Prompt = "cut"
	ToDig   Prompt = "dig"
	ToPrint Prompt = "print"
	ToKeep  Prompt = "keep"
)

// Prompts lists them in order.
var Prompts = []Prompt{ToPick, ToCut, ToDig, ToPrint, ToKeep}

// Ruling is whether a prompt may be made, and what to say in its stead.
type Ruling struct {
	Prompt Prompt `json:"prompt"`
	May    bool   `json:"may"`
	// Why says what forbids it, or under which condition it is allowed.
	Why string `json:"why,omitempty"`
	// Instead says what can be seen without touching.
	Instead string      `json:"instead,omitempty"`
	Said    said.Fields `json:"said,omitempty"`
}

// because says why.
func (r *Ruling) because(why fmt.Stringer) {
	r.Why = why.String()
	r.Said.Put("why", why)
}

// why is what because said.
func (r *Ruling) why() any { return r.Said["why"] }

// insteadOf says what can be seen without touching.
var insteadOf = map[Prompt]said.Words{
	ToPick:  "Look underneath with a small mirror, or hold the phone low.",
	ToCut:   "Look where a slug or a foot has broken one already.",
	ToDig:   "Clear the loose leaves from the foot of the stem, look, and lay them back.",
	ToPrint: "Look for spore dust on leaves or caps below.",
	ToKeep:  "Photograph it whole; a picture is what you take away.",
}

// rule decides whether a prompt may be made at a site on a day about a find:
// the one function that does. It is forbidden where the species is left untouched,
// where the permission does not cover the day, where the permission or a rule
// of the site bars it, and where nobody knows.
func (l *ledger) rule(siteID trug.ID, day trug.Date, untouched bool, p Prompt) Ruling {
	r := Ruling{Prompt: p}
	site, known := l.sites[siteID]
	permission := site.Permission
	switch {
	case untouched:
		r.because(said.As("This kind is protected: it is looked at and left as it is."))
	case !known:
		r.because(said.As("It is not known whose land this is: ask the land manager first."))
	case permission == nil:
		r.because(said.As("No permission is known for {site}: ask the land manager first.", "site", site.Name))
	case !permission.Covers(day):
		r.because(said.As("The permission for {site} does not cover {day}.", "site", site.Name, "day", said.Day{Day: string(day)}))
	default:
		switch leave := leaveOf(*permission, p); leave {
		case trug.Allowed:
			r.May = true
			if permission.Part != "" || permission.Words != "" || site.Rule != "" {
				r.because(conditions(*permission, site.Rule))
			}
			return r
		case trug.Barred:
			r.because(said.As("At {site} this is not allowed.", "site", site.Name))
		default:
			r.because(said.As("It is not known whether this is allowed at {site}: ask the land manager first.", "site", site.Name))
		}
	}
	r.Instead = string(insteadOf[p])
	r.Said.Put("instead", said.As(insteadOf[p]))
	return r
}

// untouched reports whether the find bears a protected name whose rule is that
// nobody touches it.
func (f *find) untouched() bool { return f.protection != nil && !f.protection.Touch }

// leaveOf returns what a permission says about a prompt. A print is made of a
// cap that was picked and taken along.
func leaveOf(p trug.Permission, prompt Prompt) trug.Leave {
	switch prompt {
	case ToPick:
		return p.Pick
	case ToCut:
		return both(p.Pick, p.Cut)
	case ToDig:
		return p.Dig
	case ToPrint, ToKeep:
		return both(p.Pick, p.Take)
	}
	return trug.NotKnown
}

// both is allowed where both are, barred where one is, else not known.
func both(a, b trug.Leave) trug.Leave {
	switch {
	case a == trug.Barred || b == trug.Barred:
		return trug.Barred
	case a == trug.Allowed && b == trug.Allowed:
		return trug.Allowed
	}
	return trug.NotKnown
}

func conditions(p trug.Permission, rule string) said.List {
	var words []any
	for _, w := range []string{p.Words, p.Part, rule} {
		if w != "" {
			words = append(words, sentence(w)+".")
		}
	}
	return said.After(append(words, said.As("Ask the land manager if in doubt."))...)
}

// RulingsAsked is where, when and about what it is asked whether a prompt may be made.
type RulingsAsked struct {
	// Site is the code of a site; empty where Place is to tell it.
	Site string `json:"site,omitempty"`
	// Place is read as that of a record is, and found on a site by the same rule.
	Place *EditablePlace `json:"place,omitempty"`
	Date  trug.Date      `json:"date,omitempty" doc:"Empty: today"`
	// Name is what the find is called on the spot: some kinds are protected.
	Name string `json:"name,omitempty" maxLength:"200"`
	// Record is the find, where it is kept already: what is known of it counts too.
	Record trug.ID `json:"record,omitempty"`
}

// Rulings answers for each prompt whether it may be made at a site on a day;
// without a site, as where nobody knows whose land it is.
func (a *App) Rulings(ctx context.Context, v Viewer, asked RulingsAsked) ([]Ruling, error) {
	l, err := a.open(ctx, v, ReadAPlace)
	if err != nil {
		return nil, err
	}
	if asked.Date == "" {
		asked.Date = a.today(l.season)
	}
	if !asked.Date.Valid() {
		return nil, trug.Errorf(trug.Invalid, "date", "%q is not a day: write it as 2026-10-10", asked.Date)
	}
	site := l.siteFor(v, l.siteAsked(asked))
	named, protected := l.list.Protects(asked.Name)
	untouched := protected && !named.Touch
	if f := l.finds[asked.Record]; f.stands() && v.is(f.RecorderID) {
		untouched = untouched || f.untouched()
	}
	out := make([]Ruling, len(Prompts))
	for i, p := range Prompts {
		out[i] = l.rule(site, asked.Date, untouched, p)
	}
	return out, nil
}

// siteAsked returns the site that is asked about, empty when none is known. A
// place that can't be read yet is nobody's land, and no fault: saving says so.
func (l *ledger) siteAsked(asked RulingsAsked) trug.ID {
	if asked.Site != "" {
		for _, s := range l.sites {
			if s.Code == asked.Site {
				return s.ID
			}
		}
		return ""
	}
	p, err := readPlace(asked.Place)
	if err != nil || p == nil || p.Position.Valid() != nil {
		return ""
	}
	// Whoever stands so unsurely may stand on any land around; and asked with ever wider places, the answers would tell
	// where ground lies that the asker may not know of.
	if p.Uncertainty > heldUnsure {
		return ""
	}
	return l.siteAt(*p)
}
