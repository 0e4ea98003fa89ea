package app

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"maps"
	"slices"

	"trug"
	"trug/internal/dwca"
	"trug/internal/store"
)

// MaxArchiveBytes bounds a deposit's archive.
const MaxArchiveBytes = 1 << 30

// Deposits lists the published versions, newest first, for everybody.
func (a *App) Deposits(ctx context.Context, v Viewer) (DepositsPage, error) {
	l, err := a.open(ctx, v, SeeDeposits)
	if err != nil {
		return DepositsPage{}, err
	}
	page := DepositsPage{Deposits: []ShownDeposit{}}
	for _, d := range l.depositsByNumber() {
		page.Deposits = append(page.Deposits, shownDeposit(d))
	}
	slices.Reverse(page.Deposits)
	return page, nil
}

func (l *ledger) depositsByNumber() []trug.Deposit {
	return slices.SortedFunc(maps.Values(l.deposits), func(x, y trug.Deposit) int { return x.Number - y.Number })
}

func (l *ledger) nextDeposit() int {
	n := 1
	for _, d := range l.deposits {
		n = max(n, d.Number+1)
	}
	return n
}

func shownDeposit(d trug.Deposit) ShownDeposit {
	return ShownDeposit{Public: d.Public, Number: d.Number, Date: d.Date, Records: d.Records, Views: d.Views,
		Determinations: d.Determinations, Withheld: d.Withheld, Bytes: d.Bytes, Remark: d.Remark}
}

// GivenDeposit is what the coordinator says when publishing.
type GivenDeposit struct {
	ID     trug.ID `json:"id" doc:"UUIDv7, so that sending twice publishes once"`
	Remark string  `json:"remark,omitempty"`
}

// Publish writes the next deposit, reads it back, and keeps it under its
// number. What was read back must be what was written.
func (a *App) Publish(ctx context.Context, v Viewer, g GivenDeposit) (ShownDeposit, error) {
	l, err := a.open(ctx, v, PublishDeposit)
	if err != nil {
		return ShownDeposit{}, err
	}
	if !g.ID.Valid() {
		return ShownDeposit{}, badID()
	}
	if d, ok := l.deposits[g.ID]; ok {
		return shownDeposit(d), nil
	}
	archive, written, err := a.archive(ctx, v, l)
	if err != nil {
		return ShownDeposit{}, err
	}
	hash, size, err := a.Blobs.Put(ctx, bytes.NewReader(archive), MaxArchiveBytes)
	if err != nil {
		return ShownDeposit{}, fmt.Errorf("keep the archive: %w", err)
	}
	counts := dwca.Summary(written)
	d := trug.Deposit{ID: g.ID, Public: written.PackageID, SeasonID: l.season.ID, Number: written.Number, Date: written.Date, Archive: hash, Bytes: size,
		Records: counts.Finds, Views: counts.Views, Determinations: counts.Determinations, Withheld: counts.Generalised, Remark: g.Remark, Created: a.Clock()}
	if v.Person != nil {
		d.By = v.Person.ID
	}
	err = a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, d, a.author(v), a.Clock()) })
	if err != nil && trug.KindOf(err) == trug.Conflict {
		return ShownDeposit{}, trug.Errorf(trug.Conflict, "", "Somebody has just published version %d. Look at it before publishing another.", d.Number)
	}
	return shownDeposit(d), err
}

// archive writes the season's next deposit and checks it by reading it back.
func (a *App) archive(ctx context.Context, v Viewer, l *ledger) ([]byte, dwca.Dataset, error) {
	if stops := slices.IndexFunc(a.checks(l, v), func(c Check) bool { return c.Holds == "stops" }); stops >= 0 {
		c := a.checks(l, v)[stops]
		return nil, dwca.Dataset{}, trug.Errorf(trug.Invalid, "", "%s %s", c.Lead, c.Says)
	}
	id, err := a.newPublic()
	if err != nil {
		return nil, dwca.Dataset{}, err
	}
	d, err := a.dataset(ctx, l, l.nextDeposit(), id)
	if err != nil {
		return nil, dwca.Dataset{}, err
	}
	waiting := 0
	for _, f := range d.Finds {
		for _, view := range f.Views {
			if view.Hash == "" {
				waiting++
			}
		}
	}
	if waiting > 0 {
		return nil, d, trug.Errorf(trug.Busy, "", "%s that phones sent just now are still being made ready. Publish when that is done, in some minutes.", count(waiting, "photograph"))
	}
	var buf bytes.Buffer
	if err := dwca.Write(&buf, d); err != nil {
		return nil, d, err
	}
	back, err := dwca.Read(bytes.NewReader(buf.Bytes()), int64(buf.Len()), dwca.DefaultLimits)
	if err != nil {
		return nil, d, fmt.Errorf("the archive just written can't be read back: %w", err)
	}
	var again bytes.Buffer
	if err := dwca.Write(&again, back); err != nil || !bytes.Equal(again.Bytes(), buf.Bytes()) {
		return nil, d, fmt.Errorf("the archive just written reads back as something else (%v)", err)
	}
	return buf.Bytes(), d, nil
}

// WriteArchive writes what the next deposit would be to w without publishing
// it, for the command line. It returns what it holds.
func (a *App) WriteArchive(ctx context.Context, v Viewer, w io.Writer) (dwca.Counts, error) {
	l, err := a.open(ctx, v, PrepareDeposit)
	if err != nil {
		return dwca.Counts{}, err
	}
	data, d, err := a.archive(ctx, v, l)
	if err != nil {
		return dwca.Counts{}, err
	}
	_, err = w.Write(data)
	return dwca.Summary(d), err
}

// OpenArchive opens a published archive by its public identifier.
func (a *App) OpenArchive(ctx context.Context, v Viewer, public trug.PublicID) (File, trug.Deposit, error) {
	l, err := a.open(ctx, v, GetArchive)
	if err != nil {
		return File{}, trug.Deposit{}, err
	}
	for _, d := range l.deposits {
		if d.Public == public {
			f, err := a.Blobs.Open(ctx, d.Archive)
			if err != nil {
				return File{}, d, fmt.Errorf("open the archive of version %d: %w", d.Number, err)
			}
			return File{ReadSeekCloser: f, Hash: d.Archive, Type: "application/zip", Made: d.Created}, d, nil
		}
	}
	return File{}, trug.Deposit{}, trug.Errorf(trug.NotFound, "", "There is no such deposit here.")
}

// ArchiveName is the file name under which a deposit is handed out.
func (a *App) ArchiveName(ctx context.Context, v Viewer, d trug.Deposit) string {
	code := "season"
	if l, err := a.ledger(ctx, v.Season); err == nil {
		code = l.season.Code
	}
	return fmt.Sprintf("%s-version-%d.zip", code, d.Number)
}
