package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"trug"
)

// Thing is a struct of package trug that is kept.
type Thing interface {
	trug.Season | trug.Person | trug.Site | trug.Foray | trug.Taxon | trug.LookAlike | trug.Protection |
		trug.Record | trug.Photograph | trug.View | trug.Determination | trug.Pass | trug.Request | trug.Lift | trug.Deposit |
		trug.SlipRange | trug.Mark | trug.Redaction | trug.Wish | trug.CardBatch | trug.FoundCard | trug.Measurement | trug.Colour | trug.Message
}

// RowOf returns the thing as a row.
func RowOf[T Thing](thing T) (Row, error) {
	var r Row
	switch t := any(thing).(type) {
	case trug.Season:
		r = Row{Kind: Seasons, ID: t.ID, Key: t.Code}
	case trug.Person:
		r = Row{Kind: People, ID: t.ID, Season: t.SeasonID, Key: t.Code}
	case trug.Site:
		r = Row{Kind: Sites, ID: t.ID, Season: t.SeasonID, Key: t.Code}
	case trug.Foray:
		r = Row{Kind: Forays, ID: t.ID, Season: t.SeasonID, Parent: t.SiteID, Key: t.Code}
	case trug.Taxon:
		r = Row{Kind: Taxa, ID: t.ID, Season: t.SeasonID, Key: t.Name}
	case trug.LookAlike:
		r = Row{Kind: LookAlikes, ID: t.ID, Season: t.SeasonID}
	case trug.Protection:
		r = Row{Kind: Protections, ID: t.ID, Season: t.SeasonID}
	case trug.Record:
		r = Row{Kind: Records, ID: t.ID, Season: t.SeasonID, Key: t.Number}
	case trug.Photograph:
		r = Row{Kind: Photographs, ID: t.ID, Season: t.SeasonID, Key: string(t.Original)}
	case trug.View:
		r = Row{Kind: Views, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID, Key: string(t.PhotographID)}
	case trug.Determination:
		r = Row{Kind: Determinations, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Pass:
		r = Row{Kind: Passes, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Request:
		r = Row{Kind: Requests, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Lift:
		r = Row{Kind: Lifts, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Deposit:
		r = Row{Kind: Deposits, ID: t.ID, Season: t.SeasonID, Key: fmt.Sprint(t.Number)}
	case trug.Mark:
		r = Row{Kind: Marks, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Redaction:
		r = Row{Kind: Redactions, ID: t.ID, Season: t.SeasonID}
	case trug.Wish:
		r = Row{Kind: Wishes, ID: t.ID, Season: t.SeasonID, Parent: t.PersonID}
	case trug.CardBatch:
		r = Row{Kind: CardBatches, ID: t.ID, Season: t.SeasonID}
		if t.Layout != "" {
			r.Key = fmt.Sprintf("%s-%d", t.Layout, t.Number)
		}
	case trug.FoundCard:
		r = Row{Kind: FoundCards, ID: t.ID, Season: t.SeasonID, Key: string(t.PhotographID)}
	case trug.Measurement:
		r = Row{Kind: Measurements, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Colour:
		r = Row{Kind: Colours, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID}
	case trug.Message:
		r = Row{Kind: Messages, ID: t.ID, Season: t.SeasonID, Parent: t.RecordID, Key: t.Key()}
	case trug.SlipRange:
		r = Row{Kind: SlipRanges, ID: t.ID, Season: t.SeasonID, Parent: t.ForayID}
	}
	body, err := json.Marshal(thing)
	if err != nil {
		return Row{}, fmt.Errorf("write %s as JSON: %w", r.Kind, err)
	}
	r.Body = body
	return r, nil
}

// rowsOfBodies reads a body of each kind.
var rowsOfBodies = map[Kind]func(json.RawMessage) (Row, error){
	Seasons: rowOfBody[trug.Season], People: rowOfBody[trug.Person], Sites: rowOfBody[trug.Site],
	Forays: rowOfBody[trug.Foray], Taxa: rowOfBody[trug.Taxon], LookAlikes: rowOfBody[trug.LookAlike],
	Protections: rowOfBody[trug.Protection], Records: rowOfBody[trug.Record],
	Photographs: rowOfBody[trug.Photograph], Views: rowOfBody[trug.View],
	Determinations: rowOfBody[trug.Determination], Passes: rowOfBody[trug.Pass],
	Requests: rowOfBody[trug.Request], Lifts: rowOfBody[trug.Lift], Deposits: rowOfBody[trug.Deposit],
	SlipRanges: rowOfBody[trug.SlipRange], Marks: rowOfBody[trug.Mark], Redactions: rowOfBody[trug.Redaction],
	Wishes:      rowOfBody[trug.Wish],
	CardBatches: rowOfBody[trug.CardBatch], FoundCards: rowOfBody[trug.FoundCard], Measurements: rowOfBody[trug.Measurement],
	Colours:  rowOfBody[trug.Colour],
	Messages: rowOfBody[trug.Message],
}

// RowOfBody returns the row that the thing in the body makes: with it a store
// proves that a row is filed where its thing belongs.
func RowOfBody(kind Kind, body json.RawMessage) (Row, error) {
	read, ok := rowsOfBodies[kind]
	if !ok {
		return Row{}, fmt.Errorf("there is no kind of thing called %q", kind)
	}
	return read(body)
}

func rowOfBody[T Thing](body json.RawMessage) (Row, error) {
	var thing T
	if err := Decode(Row{Kind: kindOf[T](), Body: body}, &thing); err != nil {
		return Row{}, err
	}
	return RowOf(thing)
}

// kindOf returns the kind of T.
func kindOf[T Thing]() Kind {
	var zero T
	r, _ := RowOf(zero)
	return r.Kind
}

// Get returns the thing with the identifier, or an error of kind trug.NotFound.
func Get[T Thing](ctx context.Context, from Reader, id trug.ID) (T, error) {
	var thing T
	row, err := from.Load(ctx, kindOf[T](), id)
	if err != nil {
		return thing, err
	}
	return thing, Decode(row, &thing)
}

// List returns the things that the filter chooses, ordered by identifier.
func List[T Thing](ctx context.Context, from Reader, f Filter) ([]T, error) {
	rows, err := from.Find(ctx, kindOf[T](), f)
	if err != nil {
		return nil, err
	}
	things := make([]T, len(rows))
	for i, row := range rows {
		if err := Decode(row, &things[i]); err != nil {
			return nil, err
		}
	}
	return things, nil
}

// ByKey returns the one thing of the season with the key, or an error of kind
// trug.NotFound.
func ByKey[T Thing](ctx context.Context, from Reader, season trug.ID, key string) (T, error) {
	things, err := List[T](ctx, from, Filter{Season: season, Key: key})
	if err != nil || len(things) == 0 {
		var none T
		if err == nil {
			err = trug.Errorf(trug.NotFound, "", "there is no %s %q here", kindOf[T](), key)
		}
		return none, err
	}
	return things[0], nil
}

// Put writes the thing.
func Put[T Thing](ctx context.Context, to Writer, thing T, by Author, at time.Time) error {
	row, err := RowOf(thing)
	if err != nil {
		return err
	}
	return to.Save(ctx, row, by, at)
}

// Decode reads the row's thing into the struct that into points to.
func Decode(row Row, into any) error {
	if err := json.Unmarshal(row.Body, into); err != nil {
		return fmt.Errorf("read %s %s: %w", row.Kind, row.ID, err)
	}
	return nil
}
