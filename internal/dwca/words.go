package dwca

import (
	"fmt"
	"strings"

	"trug"
)

// samplingProtocol is that of every event; see the package comment.
const samplingProtocol = "open search for fruitbodies on all substrates; each kind photographed in four views (top, side, underneath, surroundings)"

// georeferenceProtocol is the guide by which places and their uncertainties are had.
const georeferenceProtocol = "Georeferencing Quick Reference Guide (Zermoglio et al. 2020, https://doi.org/10.35035/e09p-h128)"

// siteSource is the georeferenceSources of a foray.
const siteSource = "centre and radius of the site, from the season's list of sites"

// sourceWords says for the georeferenceSources of a find where its place came from.
var sourceWords = map[trug.PlaceSource]string{
	"":              "",
	trug.FromCamera: "position written into the photograph by the camera",
	trug.FromPhone:  "position given by the phone",
	trug.FromPin:    "pin set on the map",
	trug.FromText:   "coordinates as typed",
	trug.FromSite:   "middle of the site, from the season's list of sites",
}

var sourceOf = func() map[string]trug.PlaceSource {
	m := map[string]trug.PlaceSource{}
	for s, words := range sourceWords {
		m[words] = s
	}
	return m
}()

// viewWords are the columns that follow from the kind of a view. The part
// vocabulary (http://rs.tdwg.org/acpart/values/) has no parts of fruitbodies,
// so the description says what is seen.
var viewWords = map[trug.ViewKind]struct{ orientation, part, description string }{
	trug.Top:          {"upper", "entireOrganism", "the fruitbody from above"},
	trug.Side:         {"lateral", "entireOrganism", "the fruitbody from the side"},
	trug.Underneath:   {"lower", "entireOrganism", "the fruitbody from below, with its spore-bearing surface"},
	trug.Surroundings: {unoriented, partUnknown, "the place where it stood"},
	trug.Cut:          {unoriented, partUnknown, "the fruitbody cut through"},
	trug.Base:         {unoriented, partUnknown, "the foot of the fruitbody"},
	trug.SporePrint:   {unoriented, partUnknown, "the spore print"},
	trug.CloseUp:      {unoriented, partUnknown, "a detail of the fruitbody"},
	trug.Micrograph:   {unoriented, partUnknown, "through the microscope"},
}

const (
	unoriented  = "unspecifiedOrientation"
	partUnknown = "unspecifiedPart"
)

// licenceWords are how a licence is named and addressed. The titles are those
// that data publishers know it by (standards README, section 14).
var licenceWords = map[trug.Licence]struct{ title, legal, page string }{
	trug.CC0: {"Creative Commons CCZero (CC0) 1.0 License",
		"http://creativecommons.org/publicdomain/zero/1.0/legalcode", "https://creativecommons.org/publicdomain/zero/1.0/"},
	trug.CCBY: {"Creative Commons Attribution (CC-BY) 4.0 License",
		"http://creativecommons.org/licenses/by/4.0/legalcode", "https://creativecommons.org/licenses/by/4.0/"},
	trug.CCBYNC: {"Creative Commons Attribution Non Commercial (CC-BY-NC) 4.0 License",
		"http://creativecommons.org/licenses/by-nc/4.0/legalcode", "https://creativecommons.org/licenses/by-nc/4.0/"},
}

func licenceOf(legal string) (trug.Licence, bool) {
	for l, w := range licenceWords {
		if w.legal == legal {
			return l, true
		}
	}
	return "", false
}

// The sentences of identificationVerificationStatus, declared in the EML.
const (
	statusNone    = "no determination"
	statusOne     = "one determiner"
	statusAgree   = "%s determiners who agree"
	statusDiffer  = "%s determiners who differ; the name is the lowest taxon they share"
	statusSettled = "differing opinions settled by a further determiner"
	statusHeld    = "; a second independent opinion is awaited"
)

// Status says in a sentence what the current name of a find rests on:
// "one determiner, from photographs".
func Status(n trug.Naming) string {
	if len(n.Counting) == 0 {
		return statusNone
	}
	var s string
	switch {
	case n.Settled:
		s = statusSettled
	case n.Differ:
		s = fmt.Sprintf(statusDiffer, countWord(len(n.Counting)))
	case len(n.Counting) > 1:
		s = fmt.Sprintf(statusAgree, countWord(len(n.Counting)))
	default:
		s = statusOne
	}
	var bases []string
	for _, b := range trug.Bases {
		for _, d := range n.Counting {
			if contains(d.Basis, b) {
				bases = append(bases, string(b))
				break
			}
		}
	}
	if len(bases) > 0 {
		s += ", from " + strings.Join(bases, " and ")
	}
	if n.Held {
		s += statusHeld
	}
	return s
}

func contains(list []trug.Basis, b trug.Basis) bool {
	for _, x := range list {
		if x == b {
			return true
		}
	}
	return false
}

func countWord(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// The words in which the remarks of a determination say how it stands.
const (
	slipCurrent     = "Current determination"
	slipSuperseded  = "Superseded determination"
	slipIndependent = ", given without sight of another"
	slipBasis       = ", from "
)

// remarks writes a slip's identificationRemarks: how it stands, what it rests
// on, and the determiner's own remark.
func (s *Slip) remarks() string {
	out := slipSuperseded
	if s.Current {
		out = slipCurrent
	}
	if s.Independent {
		out += slipIndependent
	}
	for i, b := range s.Basis {
		if i == 0 {
			out += slipBasis
		} else {
			out += " and "
		}
		out += string(b)
	}
	out += "."
	if s.Remark != "" {
		out += " " + s.Remark
	}
	return out
}

// readRemarks is the way back from remarks; false when they aren't ours.
func (s *Slip) readRemarks(text string) bool {
	head, remark, ok := strings.Cut(text, ".")
	if !ok {
		return false
	}
	if remark != "" {
		if s.Remark, ok = strings.CutPrefix(remark, " "); !ok {
			return false
		}
	}
	if head, s.Current = strings.CutPrefix(head, slipCurrent); !s.Current {
		if head, ok = strings.CutPrefix(head, slipSuperseded); !ok {
			return false
		}
	}
	head, s.Independent = strings.CutPrefix(head, slipIndependent)
	if head == "" {
		return true
	}
	if head, ok = strings.CutPrefix(head, slipBasis); !ok {
		return false
	}
	for _, b := range strings.Split(head, " and ") {
		if !contains(trug.Bases, trug.Basis(b)) {
			return false
		}
		s.Basis = append(s.Basis, trug.Basis(b))
	}
	return true
}
