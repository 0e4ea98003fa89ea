package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"slices"
	"sync"
	"time"
)

// counts are what phones met while they sent.
type counts struct {
	requests, failed, again, messages, repeated, taken int
	took                                               []time.Duration // to each answer to a message
}

// tally is a phone's counts, which others read while it sends.
type tally struct {
	mu sync.Mutex
	counts
}

func (t *tally) count(change func(*counts)) {
	t.mu.Lock()
	defer t.mu.Unlock()
	change(&t.counts)
}

// total adds up the counts of all phones.
func total(all []*phone) counts {
	var sum counts
	for _, p := range all {
		p.count(func(t *counts) {
			sum.requests += t.requests
			sum.failed += t.failed
			sum.again += t.again
			sum.messages += t.messages
			sum.repeated += t.repeated
			sum.taken += t.taken
			sum.took = append(sum.took, t.took...)
		})
	}
	slices.Sort(sum.took)
	return sum
}

func (c counts) median() time.Duration {
	if len(c.took) == 0 {
		return 0
	}
	return c.took[len(c.took)/2]
}

func (c counts) slowest() time.Duration {
	if len(c.took) == 0 {
		return 0
	}
	return c.took[len(c.took)-1]
}

func finds(all []*phone) (n int) {
	for _, p := range all {
		n += len(p.finds)
	}
	return n
}

func views(all []*phone) (n int) {
	for _, p := range all {
		for _, f := range p.finds {
			n += len(f.views)
		}
	}
	return n
}

func size(all []*phone) (n int64) {
	for _, p := range all {
		for _, f := range p.finds {
			for _, v := range f.views {
				n += int64(v.size)
			}
		}
	}
	return n
}

// counted is what is there in the end beside what was sent.
type counted struct {
	records, lostRecords, doubledRecords, changedRecords int
	photographs, lostPhotographs, doubledPhotographs     int
	phones, people                                       int
}

func (c counted) bad() bool {
	return c.people != c.phones || c.lostRecords+c.doubledRecords+c.changedRecords+c.lostPhotographs+c.doubledPhotographs > 0
}

// stored is a record as the server has it.
type stored struct {
	remarks string
	hashes  []string
}

// compare counts what was sent beside what is there. A record that nobody sent
// counts as doubled, and so does a photograph that is there more than once or
// that nobody sent.
func compare(all []*phone, there map[string]stored) counted {
	var c counted
	times := map[string]int{}
	for _, r := range there {
		for _, h := range r.hashes {
			times[h]++
		}
	}
	sent := map[string]bool{}
	for _, p := range all {
		for _, f := range p.finds {
			r, ok := there[string(f.record)]
			sent[string(f.record)] = true
			switch {
			case !ok:
				c.lostRecords++
			case r.remarks != f.remarks || len(r.hashes) != len(f.views):
				c.records++
				c.changedRecords++
			default:
				c.records++
			}
			for _, v := range f.views {
				if slices.Contains(r.hashes, v.hash) {
					c.photographs++
				} else {
					c.lostPhotographs++
				}
				c.doubledPhotographs += max(times[v.hash]-1, 0)
				delete(times, v.hash)
			}
		}
	}
	for id := range there {
		if !sent[id] {
			c.doubledRecords++
		}
	}
	for _, n := range times {
		c.doubledPhotographs += n
	}
	return c
}

// count reads all records and all originals back as the coordinator.
func count(ctx context.Context, address string, c *http.Client, all []*phone) (counted, error) {
	at := "http://" + address
	there := map[string]stored{}
	doubled := 0
	for from := 0; ; {
		var page struct {
			Total int
			Lines []struct{ ID string }
		}
		if err := asks(ctx, c, "GET", fmt.Sprintf("%s/api/records?sort=number&limit=500&from=%d", at, from), nil, &page); err != nil {
			return counted{}, err
		}
		for _, line := range page.Lines {
			if _, ok := there[line.ID]; ok {
				doubled++
				continue
			}
			r, err := readBack(ctx, c, at, line.ID)
			if err != nil {
				return counted{}, err
			}
			there[line.ID] = r
		}
		if from += len(page.Lines); len(page.Lines) == 0 || from >= page.Total {
			break
		}
	}
	out := compare(all, there)
	out.doubledRecords += doubled
	var people struct{ Total int }
	if err := asks(ctx, c, "GET", at+"/api/people?limit=1", nil, &people); err != nil {
		return out, err
	}
	out.phones, out.people = len(all), people.Total-1 // without the coordinator
	return out, nil
}

// readBack reads a record and the hashes of its originals.
func readBack(ctx context.Context, c *http.Client, at, id string) (stored, error) {
	var sheet struct {
		Remarks string
		Views   []struct{ Photograph string }
	}
	if err := asks(ctx, c, "GET", at+"/api/records/"+id, nil, &sheet); err != nil {
		return stored{}, err
	}
	r := stored{remarks: sheet.Remarks}
	for _, v := range sheet.Views {
		sum := sha256.New()
		if err := file(ctx, c, at+"/api/photographs/"+v.Photograph+"/original", sum); err != nil {
			return r, err
		}
		r.hashes = append(r.hashes, hex.EncodeToString(sum.Sum(nil)))
		// What is made of a photograph may come later; asked for it is there.
		if err := file(ctx, c, at+"/api/photographs/"+v.Photograph+"/thumb", io.Discard); err != nil {
			return r, err
		}
	}
	return r, nil
}

// file reads a file of a photograph.
func file(ctx context.Context, c *http.Client, address string, into io.Writer) error {
	q, err := http.NewRequestWithContext(ctx, "GET", address, nil)
	if err != nil {
		return err
	}
	answer, err := c.Do(q)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if _, err = io.Copy(into, answer.Body); err != nil || answer.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %d %v", address, answer.StatusCode, err)
	}
	return nil
}
