package app

import (
	"fmt"
	"slices"

	"trug"
)

// Consents in the table of people: for each thing that is asked for the latest
// consent in four columns, "name_given", "name_how", "name_withdrawn" and
// "name_withdrawn_how". A consent is never erased by a table.

func consentColumns() []column[trug.Person] {
	var out []column[trug.Person]
	for _, about := range trug.ConsentsAbout {
		out = append(out, givenColumn(about),
			ofConsent(about, "how", func(c *trug.Consent) *string { return &c.How }),
			withdrawnColumn(about),
			ofConsent(about, "withdrawn_how", func(c *trug.Consent) *string { return &c.WithdrawnHow }))
	}
	return out
}

// latest returns where the latest consent about a thing stands, -1 for none.
func latest(p trug.Person, about trug.ConsentAbout) int {
	for i := len(p.Consents) - 1; i >= 0; i-- {
		if p.Consents[i].About == about {
			return i
		}
	}
	return -1
}

// consentOf returns the latest consent about a thing to be written to: in a
// copy, so that what was handed out stays as it was; nil for none.
func consentOf(p *trug.Person, about trug.ConsentAbout) *trug.Consent {
	i := latest(*p, about)
	if i < 0 {
		return nil
	}
	p.Consents = slices.Clone(p.Consents)
	return &p.Consents[i]
}

func givenColumn(about trug.ConsentAbout) column[trug.Person] {
	return column[trug.Person]{string(about) + "_given", func(_ *ledger, p trug.Person) string {
		if i := latest(p, about); i >= 0 {
			return string(p.Consents[i].Given)
		}
		return ""
	}, func(_ *ledger, p *trug.Person, text string) error {
		c, day := consentOf(p, about), trug.Date(text)
		switch {
		case text == "" && c == nil || c != nil && c.Given == day:
			return nil
		case text == "":
			return fmt.Errorf("a consent was given on %s and is not erased: give the day on which it was withdrawn", c.Given)
		case !day.Valid():
			return fmt.Errorf("%q is not a day: write it as 2026-09-20", text)
		case c != nil && c.Withdrawn == "":
			c.Given = day // the day was mistaken
		case c != nil && day <= c.Withdrawn:
			return fmt.Errorf("it was withdrawn on %s: it can be given again on a later day, not on %s", c.Withdrawn, day)
		default:
			p.Consents = append(slices.Clone(p.Consents), trug.Consent{About: about, Given: day})
		}
		return nil
	}}
}

func withdrawnColumn(about trug.ConsentAbout) column[trug.Person] {
	return column[trug.Person]{string(about) + "_withdrawn", func(_ *ledger, p trug.Person) string {
		if i := latest(p, about); i >= 0 {
			return string(p.Consents[i].Withdrawn)
		}
		return ""
	}, func(_ *ledger, p *trug.Person, text string) error {
		c := consentOf(p, about)
		switch {
		case c == nil && text == "" || c != nil && string(c.Withdrawn) == text:
			return nil
		case c == nil:
			return fmt.Errorf("a consent that was never given can't be withdrawn: give the day in %s_given too", about)
		case text == "":
			return fmt.Errorf("it was withdrawn on %s: to give it again, put a later day in %s_given", c.Withdrawn, about)
		}
		c.Withdrawn = trug.Date(text)
		return nil
	}}
}

func ofConsent(about trug.ConsentAbout, name string, field func(*trug.Consent) *string) column[trug.Person] {
	return column[trug.Person]{string(about) + "_" + name, func(_ *ledger, p trug.Person) string {
		if i := latest(p, about); i >= 0 {
			return *field(&p.Consents[i])
		}
		return ""
	}, func(_ *ledger, p *trug.Person, text string) error {
		c := consentOf(p, about)
		if c == nil {
			if text != "" {
				return fmt.Errorf("there is no consent that this could be about: give the day in %s_given too", about)
			}
			return nil
		}
		*field(c) = text
		return nil
	}}
}
