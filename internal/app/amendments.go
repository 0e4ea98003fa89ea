package app

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// amendmentWords says in words what a change did: which fields, from what to
// what. Coordinates are not written; that the place was changed is enough. For
// a child what people wrote in their own words is not repeated: it may have
// been an adult.
func amendmentWords(c store.Amendment, toChild bool) string {
	if c.Kind == store.Views {
		var w trug.View
		if json.Unmarshal(c.After, &w) != nil {
			return "A view was changed."
		}
		if c.Before == nil {
			return fmt.Sprintf("The view %s was laid to it.", w.Kind)
		}
		var was trug.View
		_ = json.Unmarshal(c.Before, &was) // then it reads as a new name
		switch {
		case !w.Withdrawn.IsZero():
			return fmt.Sprintf("The view %s was taken out.", w.Kind)
		case !was.Withdrawn.IsZero():
			return fmt.Sprintf("The view %s was put in again.", w.Kind)
		}
		return fmt.Sprintf("A view was named %s.", w.Kind)
	}
	if c.Kind == store.Measurements {
		return sizeAmendment(c)
	}
	if c.Kind == store.Colours {
		return colourAmendment(c)
	}
	if c.Before == nil {
		return "The record was made."
	}
	var before, after map[string]json.RawMessage
	if json.Unmarshal(c.Before, &before) != nil || json.Unmarshal(c.After, &after) != nil {
		return "The record was changed."
	}
	var words []string
	for _, field := range slices.Sorted(maps.Keys(fieldWords)) {
		if was, is := string(before[field]), string(after[field]); was != is {
			switch field {
			case "place":
				words = append(words, "place changed")
				continue
			case "withdrawn":
				words = append(words, map[bool]string{true: "put back", false: "taken out of the season"}[is == ""])
				continue
			}
			if toChild && inOwnWords[field] {
				words = append(words, fieldWords[field]+" changed")
				continue
			}
			words = append(words, fmt.Sprintf("%s: %s, before %s", fieldWords[field], valueWords(is), valueWords(was)))
		}
	}
	if len(words) == 0 {
		return "The record was changed."
	}
	return sentence(strings.Join(words, "; ")) + "."
}

// inOwnWords are the fields that hold what somebody chose to write.
var inOwnWords = map[string]bool{"fieldName": true, "smell": true, "host": true, "voucher": true, "remarks": true}

// fieldWords names the fields of a record for people.
var fieldWords = map[string]string{
	"found": "found", "place": "place", "fieldName": "field name", "form": "form", "substrate": "grows on", "habit": "growth",
	"ripeness": "ripeness", "smell": "smell", "sporePrint": "spore print", "host": "host", "numberSeen": "number seen",
	"voucher": "specimen", "remarks": "remarks", "foray": "foray", "site": "site", "recorder": "recorder", "number": "number", "withdrawn": "taken out",
}

// valueWords writes a JSON value for people.
func valueWords(raw string) string {
	var s string
	var parts map[string]string
	switch {
	case raw == "" || raw == "null" || raw == "{}":
		return "nothing"
	case json.Unmarshal([]byte(raw), &s) == nil:
		return "“" + s + "”"
	case json.Unmarshal([]byte(raw), &parts) == nil:
		return strings.Join(slices.Sorted(maps.Values(parts)), " ")
	default:
		return raw
	}
}

// sizeAmendment says what was done to a size.
func sizeAmendment(c store.Amendment) string {
	var m, was trug.Measurement
	if json.Unmarshal(c.After, &m) != nil || len(m.Figures) == 0 {
		return "A size was changed."
	}
	what := sizeLabel(m) + ": " + sizeWords(m)
	if c.Before == nil {
		return what + "."
	}
	if json.Unmarshal(c.Before, &was) != nil || len(was.Figures) == 0 {
		return what + ", changed."
	}
	switch {
	case !m.Withdrawn.IsZero() && was.Withdrawn.IsZero():
		return what + ", taken back."
	case m.PrintHow != was.PrintHow || m.PrintScale != was.PrintScale:
		return fmt.Sprintf("%s, before %s: the card's print was measured.", what, sizeWords(was))
	}
	return fmt.Sprintf("%s, before %s.", what, sizeWords(was))
}

// colourAmendment says what was done to a colour.
func colourAmendment(c store.Amendment) string {
	var now, was trug.Colour
	if json.Unmarshal(c.After, &now) != nil {
		return "A colour was changed."
	}
	tell := func(x trug.Colour) string {
		return fmt.Sprintf("%s, L* %.0f, a* %.0f, b* %.0f, give or take %.1f", x.Mean.Name, x.Mean.D65[0], x.Mean.D65[1], x.Mean.D65[2], x.Mean.GiveOrTake)
	}
	what := colourLabel(now) + ": " + tell(now)
	if c.Before == nil {
		return what + "."
	}
	if json.Unmarshal(c.Before, &was) != nil {
		return what + ", changed."
	}
	switch {
	case !now.Withdrawn.IsZero() && was.Withdrawn.IsZero():
		return what + ", taken back."
	case now.Table != was.Table:
		return fmt.Sprintf("%s, before %s: the colours of the card's printing were entered or changed.", what, tell(was))
	}
	return fmt.Sprintf("%s, before %s.", what, tell(was))
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
