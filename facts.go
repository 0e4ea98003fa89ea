package trug

import (
	"slices"

	"trug/science/groups"
	"trug/science/said"
)

// Lack is something that a record is still without.
type Lack string

// What a record can lack, beside the views themselves.
const (
	LacksPlace       Lack = "place"
	LacksSubstrate   Lack = "what it grows on"
	LacksPhotographs Lack = "photographs"
)

// Facts tells what a record has and lacks: facts in place of a verdict.
type Facts struct {
	// Has and Misses list views; Misses lists those that are asked for (Wanted) alone.
	Has    []ViewKind
	Misses []ViewKind
	// Lacks lists what else is not there.
	Lacks []Lack
	// NamedBy is who named it in the hand when there is no photograph.
	NamedBy string
}

// Wanted lists the views that are asked for of a find of a form of the vocabulary, in
// the order in which they are taken: the four views while nobody has said which form it is.
func Wanted(form string) (out []ViewKind) {
	for _, k := range groups.Views(form) {
		out = append(out, ViewKind(k))
	}
	return out
}

// FactsOf returns the facts of a record with views of the given kinds, where
// recorder is how its recorder is called.
func FactsOf(r Record, kinds []ViewKind, recorder string) Facts {
	var f Facts
	have := map[ViewKind]bool{}
	for _, k := range kinds {
		have[k] = true
	}
	wanted := Wanted(r.Form)
	for _, k := range ViewKinds {
		switch {
		case have[k]:
			f.Has = append(f.Has, k)
		case slices.Contains(wanted, k):
			f.Misses = append(f.Misses, k)
		}
	}
	if len(f.Has) == 0 {
		f.Misses = nil
		f.Lacks = append(f.Lacks, LacksPhotographs)
		if f.NamedBy = r.FieldName.By; f.NamedBy == "" {
			f.NamedBy = recorder
		}
		if r.FieldName.Name == "" {
			f.NamedBy = ""
		}
	}
	if r.Place == nil {
		f.Lacks = append(f.Lacks, LacksPlace)
	}
	if r.Substrate == "" {
		f.Lacks = append(f.Lacks, LacksSubstrate)
	}
	return f
}

// Sentence tells the facts in one English sentence: "Top and side; no
// underneath, no surroundings.", "No photograph; named in the hand by A. Wood."
func (f Facts) Sentence() string { return f.Said().String() }

// Said is the sentence for every language.
func (f Facts) Said() said.Sentence {
	var parts []any
	switch {
	case len(f.Has) == 0 && f.NamedBy != "":
		parts = append(parts, said.As("no photograph; named in the hand by {name}", "name", f.NamedBy))
	case len(f.Has) == 0:
		parts = append(parts, said.As("no photograph and no name"))
	case slices.Equal(f.Has, FourViews) && len(f.Misses) == 0:
		parts = append(parts, said.As("all four views"))
	case len(f.Has) > len(FourViews) && slices.Equal(f.Has[:len(FourViews)], FourViews) && len(f.Misses) == 0:
		parts = append(parts, said.As("all four views, and the {views}", "views", kindsSaid(f.Has[len(FourViews):])))
	case len(f.Misses) == 0:
		parts = append(parts, kindsSaid(f.Has))
	default:
		no := said.List{By: ", "}
		for _, k := range f.Misses {
			no.List = append(no.List, said.As("no {view}", "view", k.Said()))
		}
		parts = append(parts, kindsSaid(f.Has), no)
	}
	for _, l := range f.Lacks {
		switch l {
		case LacksPlace:
			parts = append(parts, said.As("no place yet"))
		case LacksSubstrate:
			parts = append(parts, said.As("not said what it grows on"))
		}
	}
	return said.As("{facts}.", "facts", said.Capital{Capital: said.List{List: parts, By: "; "}})
}

// kindsSaid writes a list of views in words: "top, side and underneath".
func kindsSaid(kinds []ViewKind) said.List {
	var out said.List
	for _, k := range kinds {
		out.List = append(out.List, k.Said())
	}
	return out
}

// kindWords are the kinds of view amid a sentence.
var kindWords = map[ViewKind]said.Words{Top: "top", Side: "side", Underneath: "underneath", Surroundings: "surroundings", Cut: "cut", Base: "base",
	SporePrint: "spore print", CloseUp: "close-up", Micrograph: "micrograph"}

// Said is the kind amid a sentence.
func (k ViewKind) Said() said.Sentence { return said.As(kindWords[k]) }
