package dwca

import (
	"strings"

	"trug"
)

// The kinds of thing that have public addresses below BaseURL.
const (
	eventPath         = "event"
	findPath          = "find"
	viewPath          = "view"
	determinationPath = "determination"
	absencePath       = "absence"
)

const urn = "urn:uuid:"

// findEventMark tells the event of a find from the find where both would
// otherwise have the same URN.
const findEventMark = "#event"

// identifiers makes and takes apart published identifiers; base is the
// BaseURL of the dataset.
type identifiers struct{ base string }

// of returns the identifier of a thing.
func (i identifiers) of(path string, id trug.PublicID) string {
	if i.base == "" {
		return urn + string(id)
	}
	return i.base + "/" + path + "/" + string(id)
}

// findEvent returns the eventID of a find.
func (i identifiers) findEvent(id trug.PublicID) string {
	if i.base == "" {
		return urn + string(id) + findEventMark
	}
	return i.of(eventPath, id)
}

// file returns the address of a view's file, empty where there is no server.
func (i identifiers) file(id trug.PublicID) string {
	if i.base == "" {
		return ""
	}
	return i.of(viewPath, id) + ".jpg"
}

// parse returns the public identifier in one of a thing.
func (i identifiers) parse(path, s string) (trug.PublicID, bool) {
	prefix := urn
	if i.base != "" {
		prefix = i.base + "/" + path + "/"
	}
	rest, ok := strings.CutPrefix(s, prefix)
	id := trug.PublicID(rest)
	return id, ok && id.Valid()
}

// parseFindEvent returns the public identifier of the find in its eventID.
func (i identifiers) parseFindEvent(s string) (trug.PublicID, bool) {
	if i.base == "" {
		var ok bool
		if s, ok = strings.CutSuffix(s, findEventMark); !ok {
			return "", false
		}
	}
	return i.parse(eventPath, s)
}

// identifiersOf returns the identifiers of the dataset whose season event has
// the identifier s.
func identifiersOf(s string) (identifiers, bool) {
	if strings.HasPrefix(s, urn) {
		return identifiers{}, true
	}
	base, rest, ok := cutLast(s, "/"+eventPath+"/")
	return identifiers{base}, ok && validBase(base) && trug.PublicID(rest).Valid()
}

func cutLast(s, sep string) (before, after string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

// validBase reports whether s can be the address of a server.
func validBase(s string) bool {
	host, ok := strings.CutPrefix(s, "https://")
	if !ok {
		host, ok = strings.CutPrefix(s, "http://")
	}
	return ok && host != "" && host[0] != '/' && !strings.HasSuffix(s, "/") &&
		!strings.ContainsAny(s, " \t\n\"<>\\^`{|}") && plainASCII(s)
}
