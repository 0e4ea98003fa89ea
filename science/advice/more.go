package advice

import (
	"slices"

	"trug/science/groups"
	"trug/science/said"
)

// Leave says what people may be asked to do to a find where it stands: by the
// rules of the site, the permission and the species. What nobody knows counts as
// no. The zero Leave allows nothing.
type Leave struct {
	Cut   bool `json:"cut"`
	Dig   bool `json:"dig"`
	Print bool `json:"print"`
}

// Told is what is known of a find.
type Told struct {
	// Form is a form of the vocabulary; empty while nobody has said.
	Form string `json:"form"`
	// Ring says that a ring or a skirt on the stem was seen.
	Ring bool `json:"ring"`
	// Taken are the kinds of view that are there.
	Taken []Kind `json:"taken"`
	Leave Leave  `json:"leave"`
}

// asks are the sentences for views that need no more than looking.
var asks = map[Kind]string{
	Top:          "From above: the whole cap, straight down.",
	Side:         "From the side: cap, stem and the foot of it.",
	Underneath:   "From underneath: gills, pores or spines. A small mirror or the phone held low does it without picking.",
	Surroundings: "The surroundings: what it grows on and the trees near by.",
	CloseUp:      "A close view: as near as the phone still focuses.",
}

// does are the views that ask for more, where that is allowed, and what is to be
// seen without touching where it is not.
var does = map[Kind]struct {
	may         func(Leave) bool
	does, looks string
}{
	Cut:        {func(l Leave) bool { return l.Cut }, "A cut: a grown-up cuts one from top to bottom.", "The inside: look where a slug or a foot has broken one already; leave the others whole."},
	Base:       {func(l Leave) bool { return l.Dig }, "The base: one lifted whole with its foot, the hole filled again.", "The base: clear the loose leaves from the foot of the stem, look, and lay them back; leave it standing."},
	SporePrint: {func(l Leave) bool { return l.Print }, "A spore print: one cap over night on paper, half white, half black.", "The spores: look for dust on leaves or caps below."},
}

// Next tells which views are still wanted of a find, those that its group needs
// first; at most most of them.
func Next(t Told, most int) []Advice {
	out := []Advice{}
	add := func(k Kind, why Sentence) {
		if len(out) == most || slices.Contains(t.Taken, k) || slices.ContainsFunc(out, func(a Advice) bool { return a.View == k }) {
			return
		}
		text := asks[k]
		if d, ok := does[k]; ok {
			if text = d.looks; d.may(t.Leave) {
				text = d.does
			}
		}
		a := tells(More, false, with(text), why)
		a.View = k
		out = append(out, a)
	}
	if t.Ring {
		for _, k := range groups.Ringed().Needed {
			if k == Base {
				add(k, with(whyRing))
			}
		}
	}
	g := groups.OfForm(t.Form)
	why := with(whyFour)
	if g.Name != "" {
		why = said.As(whyGroup, "group", said.As(said.Words(lower(g.Name))))
	}
	for _, k := range g.Needed {
		add(k, why)
	}
	return out
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}
