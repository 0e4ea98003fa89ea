// Package groups says which views make a fungus nameable, by the group that its form
// belongs to: what a finder is asked for, and what a record is told to lack. It knows
// no photograph and no record.
package groups

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"maps"
	"slices"
	"strings"
	"sync"
)

// Kind is what a view shows: trug.ViewKind's words, which science can't see.
type Kind string

// The kinds of view that are asked for.
const (
	Top          Kind = "top"
	Side         Kind = "side"
	Underneath   Kind = "underneath"
	Surroundings Kind = "surroundings"
	Cut          Kind = "cut"
	Base         Kind = "base"
	SporePrint   Kind = "spore print"
	CloseUp      Kind = "close-up"
)

// Group is a group of fungi by how they look, and the views that make one of
// them nameable.
type Group struct {
	Name            string
	Needed, Helpful []Kind
}

//go:embed data/views_by_group.csv
var table []byte

// kindOf puts the table's words into kinds of view; what is no view of ours, such
// as "smell" or "milk on a gill", has none. Nor has the lower side of a lichen:
// it would have to be torn off what it grows on, which nobody is asked to do.
var kindOf = map[string]Kind{
	"top": Top, "outside": Top, "overall": Top, "overall with scale": Top,
	"side": Side, "underside": Underneath,
	"surroundings": Surroundings, "host": Surroundings, "host plant": Surroundings, "tree": Surroundings, "soil and tree": Surroundings,
	"section": Cut, "section of a button": Cut, "section of a ripe one": Cut,
	"base": Base, "spore print": SporePrint,
	"close-up": CloseUp, "close-up dry": CloseUp, "close-up wet": CloseUp, "close-up with scale": CloseUp, "edge": CloseUp,
	"tips": CloseUp, "pore close-up": CloseUp, "pore close-up with rule": CloseUp, "scale close-up": CloseUp, "opening": CloseUp, "fruiting discs": CloseUp,
}

// rows is the table read once; the file is part of the program.
var rows = sync.OnceValue(func() map[string]Group {
	lines, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic("groups: the table of views by group: " + err.Error())
	}
	out := map[string]Group{}
	for _, r := range lines[1:] {
		out[r[0]] = Group{Name: r[0], Needed: kinds(r[1]), Helpful: kinds(r[2])}
	}
	return out
})

func kinds(cell string) []Kind {
	var out []Kind
	for word := range strings.SplitSeq(cell, ";") {
		if k, ok := kindOf[strings.TrimSpace(word)]; ok && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

// groupOfForm is the row of the table for each form of the vocabulary. Which of
// the gilled kinds it is nobody has said yet: the general row stands for them.
var groupOfForm = map[string]string{
	"gilled": "Gilled mushrooms in general", "gilled_shell": "Gilled mushrooms in general", "chanterelle": "Gilled mushrooms in general",
	"bolete": "Boletes", "bracket": "Brackets", "half_bracket": "Brackets", "pored_stalked": "Brackets", "rosette": "Brackets",
	"crust": "Crusts", "spined_stalked": "Spines", "spined_hanging": "Spines", "club": "Clubs and corals", "coral": "Clubs and corals",
	"cup": "Small cup fungi", "puffball": "Puffballs, earthstars, earthballs", "earthball": "Puffballs, earthstars, earthballs",
	"earthstar": "Puffballs, earthstars, earthballs", "stalked_puffball": "Puffballs, earthstars, earthballs",
	"jelly": "Jelly, tongues, ears", "truffle": "Truffle-like", "hard_stroma": "Flask fungi on wood",
	"lichen_crust": "Lichens", "lichen_powder": "Lichens", "lichen_lobed_crust": "Lichens", "lichen_scale": "Lichens", "lichen_leaf": "Lichens",
	"lichen_shrub": "Lichens", "lichen_beard": "Lichens", "lichen_cup_stalk": "Lichens", "lichen_jelly": "Lichens",
	"slime_stalked": "Slime moulds", "slime_veins": "Slime moulds", "slime_cushion": "Slime moulds", "slime_packed": "Slime moulds", "slime_creeping": "Slime moulds",
}

// Ringed is the group of what wears the remains of a wrapping.
func Ringed() Group { return rows()["Amanita and other wrapped kinds"] }

// Names are the names of all groups, in no given order.
func Names() []string { return slices.Collect(maps.Keys(rows())) }

// Views are the views that a finder is asked for of a form of the vocabulary,
// in the order in which they are taken: those that its group needs and that
// looking alone shows, and the surroundings, which are asked of every find.
func Views(form string) []Kind {
	needed := append(slices.Clone(OfForm(form).Needed), Surroundings)
	var out []Kind
	for _, k := range []Kind{Top, Side, Underneath, CloseUp, Surroundings} {
		if slices.Contains(needed, k) {
			out = append(out, k)
		}
	}
	return out
}

// OfForm is the group of a form of the vocabulary; the four views of every find
// where the table has no row for it.
func OfForm(form string) Group {
	if g, ok := rows()[groupOfForm[form]]; ok {
		return g
	}
	return Group{Needed: []Kind{Top, Side, Underneath, Surroundings}}
}
