package trug

import "strings"

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
	// Has and Misses list views; Misses lists those of the four alone.
	Has    []ViewKind
	Misses []ViewKind
	// Lacks lists what else is not there.
	Lacks []Lack
	// NamedBy is who named it in the hand when there is no photograph.
	NamedBy string
}

// FactsOf returns the facts of a record with views of the given kinds, where
// recorder is how its recorder is called.
func FactsOf(r Record, kinds []ViewKind, recorder string) Facts {
	var f Facts
	have := map[ViewKind]bool{}
	for _, k := range kinds {
		have[k] = true
	}
	for _, k := range ViewKinds {
		switch {
		case have[k]:
			f.Has = append(f.Has, k)
		case k.Order() < len(FourViews):
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

// Sentence tells the facts in one sentence: "Top and side; no underneath, no
// surroundings.", "No photograph; named in the hand by A. Wood."
func (f Facts) Sentence() string {
	var parts []string
	switch {
	case len(f.Has) == 0 && f.NamedBy != "":
		parts = append(parts, "no photograph; named in the hand by "+f.NamedBy)
	case len(f.Has) == 0:
		parts = append(parts, "no photograph and no name")
	case len(f.Misses) == 0 && len(f.Has) == len(FourViews):
		parts = append(parts, "all four views")
	case len(f.Misses) == 0:
		parts = append(parts, "all four views, and the "+join(f.Has[len(FourViews):]))
	default:
		parts = append(parts, join(f.Has))
		no := make([]string, len(f.Misses))
		for i, k := range f.Misses {
			no[i] = "no " + string(k)
		}
		parts = append(parts, strings.Join(no, ", "))
	}
	for _, l := range f.Lacks {
		switch l {
		case LacksPlace:
			parts = append(parts, "no place yet")
		case LacksSubstrate:
			parts = append(parts, "not said what it grows on")
		}
	}
	s := strings.Join(parts, "; ") + "."
	return strings.ToUpper(s[:1]) + s[1:]
}

// join writes a list of views in words: "top, side and underneath".
func join(kinds []ViewKind) string {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
