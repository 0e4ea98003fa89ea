package app

import (
	"strings"

	"trug"
)

// noWordsToChildren refuses words that an adult puts into the record of a
// child: what children are asked stands in set sentences alone. Taking words
// out is allowed, and so are the facts of the find: states that are offered to
// everybody, and names of the checklist. What stands there from before is not
// shown to children either (see children.go).
func (l *ledger) noWordsToChildren(v Viewer, before *find, e EditableRecord) error {
	if before == nil || v.is(before.RecorderID) || !l.people[before.RecorderID].Minor {
		return nil
	}
	now := before.Record
	now.Remarks, now.Host, now.Smell = strings.TrimSpace(e.Remarks), strings.TrimSpace(e.Host), strings.TrimSpace(e.Smell)
	now.FieldName = trug.FieldName{Name: strings.TrimSpace(e.FieldName), By: strings.TrimSpace(e.NamedBy)}
	if l.listed(now.FieldName.Name) {
		now.FieldName.Name = before.FieldName.Name
	}
	for _, field := range freeFields(&now) {
		if is := free(&now, field); is != "" && is != free(&before.Record, field) {
			return notTheChilds(field)
		}
	}
	return nil
}

func notTheChilds(field string) error {
	return trug.Errorf(trug.Invalid, field, "this is a child's record: free words in it are the child's own. Leave them as they are or take them out; another view is asked for by its set sentence, and a name is put to the find at the table")
}
