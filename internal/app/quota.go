package app

import (
	"fmt"

	"trug"
)

// What one person may fill of the disk: a season of the keenest photographer
// (1,200 views of 5 MB are 6 GB) several times over. Who leads, determines or
// coordinates hands in other people's memory cards too, and was invited: they
// may fill ten times as much. The figures are our own judgement.
const (
	// RoomEach is how many bytes of photographs a recorder may hand in where the
	// operator says nothing else, derivatives included.
	RoomEach = 20 << 30
	// MostPhotographs and MostRecords bound what is held in memory.
	MostPhotographs = 20_000
	MostRecords     = 20_000

	invitedFold = 10
	// leastFree is what stays free of the disk, so that records, names and the
	// database's own log can always be written.
	leastFree = 1 << 30
)

// mayFill returns the bytes, photographs and records that the viewer may hand in.
func (a *App) mayFill(v Viewer) (bytes int64, photographs, records int) {
	bytes = a.RoomEach
	if bytes <= 0 {
		bytes = RoomEach
	}
	fold := 1
	if v.has(trug.Leader) || v.has(trug.DeterminerRole) || v.has(trug.Coordinator) {
		fold = invitedFold
	}
	return bytes * int64(fold), MostPhotographs * fold, MostRecords * fold
}

// roomFor refuses a photograph for which there is no room: on the disk, for the
// time being, with an error of kind Busy; among what the viewer may fill with
// one of kind NotAllowed. What is there stays; the file waits on its device.
func (a *App) roomFor(l *ledger, v Viewer, size int64) error {
	if a.Free != nil {
		// Where the disk does not tell, writing will.
		if free, err := a.Free(); err == nil && free-size < leastFree {
			a.Log.Error("the disk is almost full: no photograph is taken", "free bytes", free)
			return trug.Errorf(trug.Busy, "", "The season's disk is almost full, so no photograph is taken just now. Nothing is lost: this one waits on your device. Tell the coordinator.")
		}
	}
	if v.Person == nil {
		return nil
	}
	most, mostFiles, _ := a.mayFill(v)
	filled, files := size, 1
	for _, p := range l.photographs {
		if p.By != v.Person.ID {
			continue
		}
		files++
		filled += p.Screen.Bytes + p.Thumb.Bytes
		if p.OriginalGone.IsZero() {
			filled += p.Bytes
		}
	}
	switch {
	case filled > most:
		return fullUp(fmt.Sprintf("%s of photographs", bytesWords(most)))
	case files > mostFiles:
		return fullUp(count(mostFiles, "photograph"))
	}
	return nil
}

// roomForRecord refuses a record beyond what one person may make.
func (a *App) roomForRecord(l *ledger, v Viewer) error {
	_, _, most := a.mayFill(v)
	made := 0
	for _, f := range l.finds {
		if v.is(f.RecorderID) {
			made++
		}
	}
	if made >= most {
		return fullUp(count(most, "record"))
	}
	return nil
}

func fullUp(what string) error {
	return trug.Errorf(trug.NotAllowed, "", "You have handed in %s, which is as much as one person may. All of it is kept, and what is refused now stays on your device: ask the coordinator, whoever runs the server can make more room.", what)
}

// bytesWords writes a size as people say it.
func bytesWords(n int64) string {
	if n < 1<<30 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d GB", n>>30)
}
