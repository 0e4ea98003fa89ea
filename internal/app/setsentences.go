package app

import (
	"strings"

	"trug"
)

// noWordsToChildren refuses words that an adult puts into the record of a
// child: what children are asked stands in set sentences alone. Taking words
// out is allowed, and so are the facts of the find.
func (l *ledger) noWordsToChildren(v Viewer, before *find, e EditableRecord) error {
	if before == nil || v.is(before.RecorderID) || !l.people[before.RecorderID].Minor {
		return nil
	}
	for _, t := range []struct{ field, was, is string }{
		{"remarks", before.Remarks, strings.TrimSpace(e.Remarks)},
		{"namedBy", before.FieldName.By, strings.TrimSpace(e.NamedBy)},
	} {
		if t.is != "" && t.is != t.was {
			return trug.Errorf(trug.Invalid, t.field, "this is a child's record: free words in it are the child's own. Leave them as they are or take them out; another view is asked for by its set sentence")
		}
	}
	return nil
}
