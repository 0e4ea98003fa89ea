// Package app holds the use cases of Trug, one file each: what a viewer may
// see or do, in one transaction, with the locality rule applied. The web and
// the command line reach stores only through it; neither decides anything.
package app

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"golang.org/x/sync/singleflight"

	"trug"
	"trug/internal/blob"
	"trug/internal/store"
)

// Options are what an App is made of.
type Options struct {
	Store store.Store
	Blobs blob.Store
	// Uploads keeps photographs that come in pieces; nil where none are taken.
	Uploads blob.Uploads
	// Secret seasons what is hashed and signs the set-up link: at least 32
	// random bytes that stay with the data.
	Secret []byte
	// EntryLinks lets visitors become anybody by a link: for the demonstration.
	EntryLinks bool
	// Clock tells the time; nil means the machine's. The demonstration's is
	// set to the middle of its season.
	Clock func() time.Time
	// Random gives random bytes; nil means the machine's.
	Random io.Reader
	// PublicAddress is the address under which outsiders reach the server,
	// "https://fungi.example.org"; empty when there is none that lasts.
	PublicAddress string
	// Device names where changes come from, in the history: "web", "command line".
	Device string
	// BackupDays is how long the operator keeps backups, in days; 0 where
	// nobody has said.
	BackupDays int
	// RoomEach is how many bytes of photographs a recorder may hand in, and who
	// leads, determines or coordinates ten times as many; 0 means RoomEach of
	// this package.
	RoomEach int64
	// Free tells how many bytes are free where photographs are kept; nil where
	// that is not known.
	Free func() (int64, error)
	// Later is how many photographs that came with messages may wait for their
	// derivatives, which KeepDeveloping then makes; 0 where none does, and each is
	// developed before its message is answered.
	Later int
	// Decoders bounds how many photographs are decoded at once; 0 means 2.
	Decoders int
	// Log is where faults go that people need not see; nil means none are kept.
	Log *slog.Logger
	// Version is that of the program, kept with what it reckons; may be empty.
	Version string
	// Drawing reports how far the demonstration's photographs are; nil when
	// nothing is being drawn.
	Drawing Drawing
}

// Drawing is the demonstration's painter, working in the background.
type Drawing interface {
	// Progress returns how many photographs are drawn, of how many, and the
	// seconds left.
	Progress() (done, total, seconds int)
	// Still returns the views of the record that are still to be drawn.
	Still(record trug.ID) []trug.ViewKind
	// Want asks for the record's photographs to be drawn next.
	Want(record trug.ID)
}

// App runs the use cases over a store of seasons and a store of files.
type App struct {
	Options
	decoders chan struct{}
	hashing  chan struct{} // holds one: passwords are hashed one at a time
	queue    chan struct{} // who waits for that, and whose turn it is
	brakes   brakes
	begun    atomic.Int64 // passkey challenges since the open ones were last counted
	files    room         // in memory as they arrive
	turns    room         // one for each that came in pieces and is in memory
	pictures room         // while they are decoded

	finders  sync.Pool // of *card.Finder, whose memory is kept from one photograph to the next
	pictured pictured
	lit      lit

	looksMu sync.Mutex
	looks   map[look]time.Time // when each was last noted

	// anew wakes who measures colours anew; stuck holds those that can't be (stuckAt).
	anew  chan struct{}
	stuck sync.Map

	// later wakes who develops in the background; developing holds what is being developed.
	later      chan struct{}
	developing singleflight.Group

	mu      sync.Mutex
	ledgers map[trug.ID]*ledger

	keysMu sync.Mutex
	keys   map[trug.ID]*seasonKey // the latest of each season
}

// New returns an App, or an error when an option is missing.
func New(o Options) (*App, error) {
	if o.Store == nil || o.Blobs == nil {
		return nil, fmt.Errorf("an app needs a store and a place for files")
	}
	if len(o.Secret) < 32 {
		return nil, fmt.Errorf("the secret of the data folder has %d bytes; it needs 32", len(o.Secret))
	}
	if o.Clock == nil {
		o.Clock = time.Now
	}
	if o.Random == nil {
		o.Random = rand.Reader
	}
	if o.Decoders <= 0 {
		o.Decoders = 2
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &App{Options: o, decoders: make(chan struct{}, o.Decoders), hashing: make(chan struct{}, 1), anew: make(chan struct{}, 1), later: make(chan struct{}, 1), queue: make(chan struct{}, mostWaiting), brakes: newBrakes(),
		files: newRoom(roomForFiles, waitsForRoom), turns: newRoom(int64(o.Decoders)+1, waitsForTurn), pictures: newRoom(roomForPictures, waitsForRoom), ledgers: map[trug.ID]*ledger{}, keys: map[trug.ID]*seasonKey{}, looks: map[look]time.Time{}}, nil
}

// newID returns a fresh identifier.
func (a *App) newID() (trug.ID, error) { return trug.NewID(a.Clock(), a.Random) }

// newPublic returns a fresh public identifier.
func (a *App) newPublic() (trug.PublicID, error) { return trug.NewPublicID(a.Random) }

// zones are the time zones that were asked for: reading one from the disk for
// each foray of a long list takes seconds.
var zones sync.Map

// zone returns the season's time zone.
func zone(s trug.Season) *time.Location {
	if z, ok := zones.Load(s.Zone); ok {
		return z.(*time.Location)
	}
	z, err := time.LoadLocation(s.Zone)
	if err != nil || s.Zone == "" {
		return time.UTC
	}
	zones.Store(s.Zone, z)
	return z
}

// today returns the day that it is in the season's area.
func (a *App) today(s trug.Season) trug.Date { return trug.DateOf(a.Clock().In(zone(s))) }

// author returns v as the author of a change.
func (a *App) author(v Viewer) store.Author {
	by := store.Author{Device: a.Device}
	if v.Person != nil {
		by.Person = v.Person.ID
	}
	return by
}

// write runs fn in one transaction.
func (a *App) write(ctx context.Context, fn func(store.Writer) error) error {
	return a.Store.Write(ctx, fn)
}
