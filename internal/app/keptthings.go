package app

import (
	"slices"
	"strings"

	"trug"
)

// keptThings is what of a season hangs on somebody.
type keptThings struct {
	person      trug.Person
	records     []trug.Record
	photographs []trug.Photograph
	slips       []trug.Determination
	forays      []trug.Foray // signed up for, asked for, or led
	marks       []trug.Mark
	passes      []trug.Pass
	requests    []trug.Request
	lifts       []trug.Lift
	wishes      []trug.Wish
	sizes       []trug.Measurement
	colours     []trug.Colour
}

func (l *ledger) thingsOf(p trug.Person) keptThings {
	k := keptThings{person: p}
	for _, f := range l.finds {
		if f.ID != "" && f.RecorderID == p.ID {
			k.records = append(k.records, f.Record)
		}
		for _, d := range f.slips {
			if d.By == p.ID {
				k.slips = append(k.slips, d)
			}
		}
		k.passes = appendIf(k.passes, f.passes, func(x trug.Pass) bool { return x.By == p.ID })
		k.requests = appendIf(k.requests, f.requests, func(x trug.Request) bool { return x.By == p.ID })
		k.sizes = appendIf(k.sizes, f.sizes, func(x trug.Measurement) bool { return x.By == p.ID })
		k.colours = appendIf(k.colours, f.colours, func(x trug.Colour) bool { return x.By == p.ID })
		k.lifts = appendIf(k.lifts, f.lifts, func(x trug.Lift) bool { return x.By == p.ID })
	}
	for _, w := range l.wishes {
		if w.PersonID == p.ID || w.By == p.ID {
			k.wishes = append(k.wishes, w)
		}
	}
	for _, x := range l.photographs {
		if x.By == p.ID {
			k.photographs = append(k.photographs, x)
		}
	}
	for _, y := range l.forays {
		if signedUp(p.ID, y) || slices.Contains(y.Asking, p.ID) {
			k.forays = append(k.forays, y)
		}
	}
	for _, m := range l.marks {
		if m.By == p.ID {
			k.marks = append(k.marks, m)
		}
	}
	slices.SortFunc(k.records, func(x, y trug.Record) int { return strings.Compare(x.Number, y.Number) })
	slices.SortFunc(k.photographs, func(x, y trug.Photograph) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.slips, func(x, y trug.Determination) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.forays, func(x, y trug.Foray) int { return strings.Compare(string(x.Date)+x.Code, string(y.Date)+y.Code) })
	slices.SortFunc(k.marks, func(x, y trug.Mark) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.passes, func(x, y trug.Pass) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.requests, func(x, y trug.Request) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.lifts, func(x, y trug.Lift) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.sizes, func(x, y trug.Measurement) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.colours, func(x, y trug.Colour) int { return strings.Compare(string(x.ID), string(y.ID)) })
	slices.SortFunc(k.wishes, func(x, y trug.Wish) int { return strings.Compare(string(x.ID), string(y.ID)) })
	return k
}

// appendIf appends those of more that are wanted.
func appendIf[T any](list, more []T, wanted func(T) bool) []T {
	for _, x := range more {
		if wanted(x) {
			list = append(list, x)
		}
	}
	return list
}
