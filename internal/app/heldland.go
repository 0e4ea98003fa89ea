package app

import (
	"math"

	"trug"
	"trug/science/place"
)

// HeldLand is where an open site lies and what may be done there, so that the phone
// rules out of reach as the server does (Rulings). Private ground is never told, nor
// an open site near it: there the phone says that it does not know.
type HeldLand struct {
	Lat    float64 `json:"lat"`
	Lon    float64 `json:"lon"`
	Radius float64 `json:"radius" doc:"metres"`
	// From and Until bound the permission; what is empty is open.
	From  trug.Date `json:"from,omitempty"`
	Until trug.Date `json:"until,omitempty"`
	// Leaves say what people may be asked to do on a day that the permission covers.
	Leaves []Ruling `json:"leaves"`
}

// heldUnsure is how unsure a place may be, in metres, for a phone or the server to rule by it
// (ui/src/recorder/rulings-here.ts, siteAsked); our own judgement: a phone under trees tells its
// place to some tens of metres.
const heldUnsure = 100

// landsTold lists the sites of which a phone may hold where they lie: those that are
// open to everybody, as far as no other could be meant that the phone does not hold.
func (l *ledger) landsTold() map[trug.ID]bool {
	told, reaches := map[trug.ID]bool{}, map[trug.ID]place.Metres{}
	for id, s := range l.sites {
		told[id], reaches[id] = s.Open && s.Radius > 0, reach(s)
	}
	near := func(s, other trug.ID) bool {
		a, b, most := l.sites[s].Centre, l.sites[other].Centre, reaches[s]+reaches[other]+2*heldUnsure
		const degree = 110_000 // metres of latitude, at the least
		return math.Abs(float64(a.Lat-b.Lat))*degree <= float64(most) && place.Distance(a, b) <= most
	}
	for again := true; again; {
		again = false
		for id := range l.sites {
			for other := range l.sites {
				if told[id] && !told[other] && near(id, other) {
					told[id], again = false, true
				}
			}
		}
	}
	return told
}

// heldLand returns the land of a site as phones take it along.
func (l *ledger) heldLand(s trug.Site, h HeldSite) *HeldLand {
	out := &HeldLand{Lat: float64(s.Centre.Lat), Lon: float64(s.Centre.Lon), Radius: float64(s.Radius), Leaves: h.Rulings}
	if p := s.Permission; p != nil {
		out.From, out.Until = p.From, p.Until
		day := p.From
		if day == "" {
			day = p.Until
		}
		if day != "" {
			out.Leaves = l.rulings(s.ID, day)
		}
	}
	return out
}

// reach is how far a site reaches from its middle: its circle holds it, where it has one.
func reach(s trug.Site) place.Metres {
	if s.Radius > 0 {
		return s.Radius
	}
	far := place.Metres(0)
	for _, ring := range s.Outline {
		for _, p := range ring {
			far = max(far, place.Distance(s.Centre, p))
		}
	}
	return far
}

// rulings rules about every prompt at a site on a day.
func (l *ledger) rulings(site trug.ID, day trug.Date) []Ruling {
	out := make([]Ruling, len(Prompts))
	for i, p := range Prompts {
		out[i] = l.rule(site, day, false, p)
	}
	return out
}
