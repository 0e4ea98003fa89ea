package app

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/said"
)

// amendmentWords says in words what a change did: which fields, from what to
// what. Coordinates are not written; that the place was changed is enough. For
// a child what people wrote in their own words is not repeated: it may have
// been an adult. Answers are told in words, the season's vocabulary.
func amendmentWords(words *describe.Vocabulary, c store.Amendment, toChild bool) fmt.Stringer {
	if c.Kind == store.Views {
		var w trug.View
		if json.Unmarshal(c.After, &w) != nil {
			return said.As("A view was changed.")
		}
		if c.Before == nil {
			return said.As("The view {view} was laid to it.", "view", w.Kind.Said())
		}
		var was trug.View
		_ = json.Unmarshal(c.Before, &was) // then it reads as a new name
		switch {
		case !w.Withdrawn.IsZero():
			return said.As("The view {view} was taken out.", "view", w.Kind.Said())
		case !was.Withdrawn.IsZero():
			return said.As("The view {view} was put in again.", "view", w.Kind.Said())
		}
		return said.As("A view was named {view}.", "view", w.Kind.Said())
	}
	if c.Kind == store.Measurements {
		return sizeAmendment(c)
	}
	if c.Kind == store.Colours {
		return colourAmendment(c)
	}
	if c.Before == nil {
		return said.As("The record was made.")
	}
	var before, after map[string]json.RawMessage
	if json.Unmarshal(c.Before, &before) != nil || json.Unmarshal(c.After, &after) != nil {
		return said.As("The record was changed.")
	}
	list := said.List{By: "; "}
	for _, field := range slices.Sorted(maps.Keys(fieldWords)) {
		if was, is := string(before[field]), string(after[field]); was != is {
			switch field {
			case "place":
				list.List = append(list.List, said.As("place changed"))
				continue
			case "withdrawn":
				list.List = append(list.List, said.As(map[bool]said.Words{true: "put back", false: "taken out of the season"}[is == ""]))
				continue
			}
			if toChild && inOwnWords[field] {
				list.List = append(list.List, said.As("{field} changed", "field", said.As(fieldWords[field])))
				continue
			}
			list.List = append(list.List, said.As("{field}: {now}, before {before}", "field", said.As(fieldWords[field]), "now", valueWords(field, is), "before", valueWords(field, was)))
		}
	}
	list.List = append(list.List, answersAmended(words, before["description"], after["description"], toChild)...)
	if len(list.List) == 0 {
		return said.As("The record was changed.")
	}
	return said.As("{changes}.", "changes", said.Capital{Capital: list})
}

// answersAmended says which answers to further questions a change gave or took back.
func answersAmended(words *describe.Vocabulary, before, after json.RawMessage, toChild bool) (list []any) {
	was, is := answersAt(before), answersAt(after)
	for _, c := range words.Characters() {
		a, b := was[c.Name], is[c.Name]
		if reflect.DeepEqual(a, b) {
			continue
		}
		label := said.As(said.Words(c.Label))
		if toChild && a.Text+b.Text != "" {
			list = append(list, said.As("{field} changed", "field", label))
			continue
		}
		tell := func(x describe.Answer) any {
			if x.Character == "" {
				return said.As("nothing")
			}
			return answerSaid(words, c, x)
		}
		list = append(list, said.As("{field}: {now}, before {before}", "field", label, "now", tell(b), "before", tell(a)))
	}
	return list
}

// answersAt reads a description; one that can't be read holds no answers.
func answersAt(body json.RawMessage) describe.Answers {
	var list []describe.Answer
	out := describe.Answers{}
	if len(body) == 0 || json.Unmarshal(body, &list) != nil {
		return out
	}
	for _, a := range list {
		out[a.Character] = a
	}
	return out
}

// inOwnWords are the fields that hold what somebody chose to write.
var inOwnWords = map[string]bool{"fieldName": true, "smell": true, "host": true, "voucher": true, "remarks": true}

// fieldWords names the fields of a record for people.
var fieldWords = map[string]said.Words{
	"found": "found", "place": "place", "fieldName": "field name", "form": "form", "substrate": "grows on", "habit": "growth",
	"ripeness": "ripeness", "smell": "smell", "sporePrint": "spore print", "host": "host", "numberSeen": "number seen",
	"voucher": "specimen", "remarks": "remarks", "foray": "foray", "site": "site", "recorder": "recorder", "number": "number", "withdrawn": "taken out",
}

// valueWords writes a JSON value for people.
func valueWords(field, raw string) any {
	var s string
	var parts map[string]string
	switch {
	case raw == "" || raw == "null" || raw == "{}":
		return said.As("nothing")
	case json.Unmarshal([]byte(raw), &s) == nil:
		if s, ok := describe.Find(characterOf(field), s); ok {
			return said.As(said.Words(s.Label))
		}
		return "“" + s + "”"
	case json.Unmarshal([]byte(raw), &parts) == nil:
		return strings.Join(slices.Sorted(maps.Values(parts)), " ")
	default:
		return raw
	}
}

// characterOf is the character that a field of a record holds a state of.
func characterOf(field string) string {
	if field == "sporePrint" {
		return "spore_print"
	}
	return field
}

// sizeAmendment says what was done to a size.
func sizeAmendment(c store.Amendment) said.Sentence {
	var m, was trug.Measurement
	if json.Unmarshal(c.After, &m) != nil || len(m.Figures) == 0 {
		return said.As("A size was changed.")
	}
	what := said.As("{label}: {size}", "label", said.As(said.Words(sizeLabel(m))), "size", sizeSaid(m))
	if c.Before == nil {
		return said.As("{what}.", "what", what)
	}
	if json.Unmarshal(c.Before, &was) != nil || len(was.Figures) == 0 {
		return said.As("{what}, changed.", "what", what)
	}
	switch {
	case !m.Withdrawn.IsZero() && was.Withdrawn.IsZero():
		return said.As("{what}, taken back.", "what", what)
	case m.PrintHow != was.PrintHow || m.PrintScale != was.PrintScale:
		return said.As("{what}, before {before}: the card's print was measured.", "what", what, "before", sizeSaid(was))
	}
	return said.As("{what}, before {before}.", "what", what, "before", sizeSaid(was))
}

// colourAmendment says what was done to a colour.
func colourAmendment(c store.Amendment) said.Sentence {
	var now, was trug.Colour
	if json.Unmarshal(c.After, &now) != nil {
		return said.As("A colour was changed.")
	}
	tell := func(x trug.Colour) said.Sentence {
		return said.Of("%s, L* %.0f, a* %.0f, b* %.0f, give or take %.1f", x.Mean.Name, x.Mean.D65[0], x.Mean.D65[1], x.Mean.D65[2], x.Mean.GiveOrTake)
	}
	what := said.As("{label}: {colour}", "label", colourSaid(now), "colour", tell(now))
	if c.Before == nil {
		return said.As("{what}.", "what", what)
	}
	if json.Unmarshal(c.Before, &was) != nil {
		return said.As("{what}, changed.", "what", what)
	}
	switch {
	case !now.Withdrawn.IsZero() && was.Withdrawn.IsZero():
		return said.As("{what}, taken back.", "what", what)
	case now.Table != was.Table:
		return said.As("{what}, before {before}: the colours of the card's printing were entered or changed.", "what", what, "before", tell(was))
	}
	return said.As("{what}, before {before}.", "what", what, "before", tell(was))
}

// amendmentPalette is what a colour was measured as, to be shown beside the words:
// its main colours with their shares; nil where no colour was changed.
func amendmentPalette(c store.Amendment) (strip []ShownTone) {
	var now trug.Colour
	if c.Kind != store.Colours || json.Unmarshal(c.After, &now) != nil {
		return nil
	}
	for _, t := range now.Palette {
		strip = append(strip, shownTone(t))
	}
	return strip
}
