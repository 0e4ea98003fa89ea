// Package store keeps the things of a season and the history of each: the
// interface that app uses, and typed reading and writing over it. The
// databases behind it are sqlite and, later, postgres; storetest is the suite
// that each must pass.
//
// Every change writes the current row and an append-only amendment in one
// transaction. Nothing is destroyed. Apart from the things stand the secrets
// by which people come in; of them there are no amendments, and they are
// deleted. The store knows nothing of permissions.
package store

import (
	"context"
	"encoding/json"
	"strings"
	"time"

	"trug"
)

// Kind names a sort of thing, which has a table of its own.
type Kind string

// The kinds, one for each struct of package trug that is kept.
const (
	Seasons        Kind = "season"
	People         Kind = "person"
	Sites          Kind = "site"
	Forays         Kind = "foray"
	Taxa           Kind = "taxon"
	LookAlikes     Kind = "look_alike"
	Protections    Kind = "protection"
	Records        Kind = "record"
	Photographs    Kind = "photograph"
	Views          Kind = "view"
	Determinations Kind = "determination"
	Passes         Kind = "pass"
	Requests       Kind = "request"
	Lifts          Kind = "lift"
	Deposits       Kind = "deposit"
	SlipRanges     Kind = "slip_range"
	Marks          Kind = "mark"
	Redactions     Kind = "redaction"
	Wishes         Kind = "wish"
	CardBatches    Kind = "card_batch"
	FoundCards     Kind = "found_card"
	Measurements   Kind = "measurement"
	Colours        Kind = "colour"
	Messages       Kind = "message"
)

// Kinds lists every kind.
var Kinds = []Kind{Seasons, People, Sites, Forays, Taxa, LookAlikes, Protections, Records, Photographs, Views, Determinations, Passes, Requests, Lifts, Deposits, SlipRanges, Marks, Redactions, Wishes, CardBatches, FoundCards, Measurements, Colours, Messages}

// Word returns the kind as it stands in a sentence.
func (k Kind) Word() string { return strings.ReplaceAll(string(k), "_", "-") }

// Row is a thing as a database keeps it: what it is found by, and the thing
// itself as the JSON of its struct.
type Row struct {
	Kind   Kind
	ID     trug.ID
	Season trug.ID // empty for a season
	// Parent is the thing that it belongs to (a view's record); may be empty.
	Parent trug.ID
	// Key is unique within kind and season where it is not empty: a record's
	// field number, a photograph's hash.
	Key  string
	Body json.RawMessage
}

// Author is who changes something, and from which device.
type Author struct {
	Person trug.ID
	Device string
}

// Amendment is one change: who, when, from where, before and after.
type Amendment struct {
	// Seq numbers the amendments of a store from 1 without gaps, in the order
	// in which they were written.
	Seq  int64
	At   time.Time // in UTC
	By   Author
	Kind Kind
	ID   trug.ID
	// Season is that of the thing; for a season it is itself.
	Season trug.ID
	// Parent is that of the row after the change.
	Parent trug.ID
	Before json.RawMessage // nil when the thing is new
	After  json.RawMessage
	// Redacted is the number of the amendment that tells of the redaction by
	// which words were taken out of Before and After; 0 for none.
	Redacted int64
}

// Filter chooses rows of one kind. Empty fields do not restrict.
type Filter struct {
	Season trug.ID
	Parent trug.ID
	Key    string
}

// Named is a thing by its kind and identifier.
type Named struct {
	Kind Kind
	ID   trug.ID
}

// Look tells that somebody was given the place of a find, or name and ground of
// a site, that others may not know; without either, that they were told which
// there are. It holds no place.
type Look struct {
	Seq    int64 // given by the store
	At     time.Time
	Season trug.ID
	Person trug.ID
	// Way says by which answer: "sheet", "original", "squares".
	Way    string
	Record trug.ID
	Site   trug.ID
}

// LookFilter chooses looks of a season. Empty fields do not restrict.
type LookFilter struct {
	Season trug.ID
	Person trug.ID
	Record trug.ID
	Site   trug.ID
	Way    string
	// From and Until choose looks from the one instant to before the other.
	From, Until time.Time
	Before      int64 // with a lower number; 0 for all
	Limit       int   // at most so many; must be above 0
}

// AmendmentFilter chooses amendments of a season. Empty fields do not restrict.
type AmendmentFilter struct {
	Season trug.ID
	Person trug.ID
	Kinds  []Kind
	// Of chooses the changes of a thing and of what belongs to it.
	Of Named
	// From and Until choose amendments from the one instant to before the other.
	From, Until time.Time
	Before      int64 // with a lower number; 0 for all
	Limit       int   // at most so many; must be above 0
}

// Reader reads within one consistent view of the store.
type Reader interface {
	// Load returns the row, or an error of kind trug.NotFound.
	Load(ctx context.Context, kind Kind, id trug.ID) (Row, error)
	// Find returns the rows that the filter chooses, ordered by the bytes of
	// the ID (so by the time of their making, as the clocks of those who made
	// them had it).
	Find(ctx context.Context, kind Kind, f Filter) ([]Row, error)
	// History returns the amendments of one thing, oldest first.
	History(ctx context.Context, kind Kind, id trug.ID) ([]Amendment, error)
	// Since returns the amendments of a season and of the things in it after
	// seq, oldest first, at most limit, which must be above 0.
	Since(ctx context.Context, season trug.ID, seq int64, limit int) ([]Amendment, error)
	// Amendments returns the amendments that the filter chooses, newest first.
	Amendments(ctx context.Context, f AmendmentFilter) ([]Amendment, error)
	// Taken returns for each thing of a kind, in every season, the number of the
	// amendment by which it first came: the order in which this store took
	// things in, whatever the clocks said of those who made them.
	Taken(ctx context.Context, kind Kind) (map[trug.ID]int64, error)
	// LastSeq returns the number of the newest amendment, 0 for none.
	LastSeq(ctx context.Context) (int64, error)
	// Looks returns the looks that the filter chooses, newest first.
	Looks(ctx context.Context, f LookFilter) ([]Look, error)
	// Secrets returns the secrets that the filter chooses, ordered by ID.
	Secrets(ctx context.Context, f SecretFilter) ([]Secret, error)
}

// Writer also writes.
type Writer interface {
	Reader
	// Save writes the row and its amendment. Saving a row that is already
	// there just as it is writes nothing. A key in use by another row of the
	// kind and season is an error of kind trug.Conflict; an ID that
	// is there already in another season is one of kind trug.NotFound. NUL and broken UTF-8 outside the
	// body are of kind trug.Invalid. After these three the transaction can go
	// on; after any other error of Save it is undone whatever fn returns.
	Save(ctx context.Context, row Row, by Author, at time.Time) error
	// Redact takes words out of things, in their rows and in every amendment of
	// them: blank returns what stays of a body, and must return the same for
	// the same body, and keep identifier, season and parent. The telling row, a
	// new trug.Redaction that names the things, is saved with it; each
	// amendment that was changed refers to its amendment from then on.
	Redact(ctx context.Context, telling Row, of []Named, blank func(Kind, json.RawMessage) (json.RawMessage, error), by Author, at time.Time) error
	// Note adds looks. They are never changed or deleted.
	Note(ctx context.Context, looks []Look) error
	// KeepSecret writes the secret, in place of one of the same kind and ID. A
	// key in use by another of the kind is an error of kind trug.Conflict,
	// after which the transaction can go on.
	KeepSecret(ctx context.Context, s Secret) error
	// DropSecrets deletes the secrets that the filter chooses and returns how
	// many there were. A filter that names a kind alone is refused.
	DropSecrets(ctx context.Context, f SecretFilter) (int, error)
}

// Store is a database of seasons.
type Store interface {
	// Read runs fn on one consistent view. Views are few, so within fn pass
	// the Reader on: calling Read again there may wait for ever.
	Read(ctx context.Context, fn func(Reader) error) error
	// Write runs fn in one transaction, which is durable when Write returns
	// nil and has left nothing behind when it returns an error or fn panics.
	// Writers wait for each other, so within fn pass the Writer on: calling
	// Write again there would wait for ever.
	Write(ctx context.Context, fn func(Writer) error) error
	// Check proves that rows and amendments agree; it returns a sentence for
	// each disagreement.
	Check(ctx context.Context) ([]string, error)
	Close() error
}
