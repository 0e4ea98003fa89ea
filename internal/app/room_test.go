package app

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/science/photo"
)

// Photographs share a bounded memory: what does not fit waits, and is told to
// come again when the wait is long.
func TestRoom(t *testing.T) {
	r := newRoom(100, 50*time.Millisecond)
	first, err := r.take(t.Context(), 70)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.take(t.Context(), 40); trug.KindOf(err) != trug.Busy {
		t.Errorf("more than there is was given: %v", err)
	}
	if small, err := r.take(t.Context(), 30); err != nil {
		t.Errorf("what fits was not given: %v", err)
	} else {
		small()
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := r.take(gone, 40); !errors.Is(err, context.Canceled) {
		t.Errorf("whoever left still waits: %v", err)
	}
	first()
	if all, err := r.take(t.Context(), 1000); err != nil {
		t.Errorf("what is larger than all of it does not even get all: %v", err)
	} else {
		all()
	}
}

// A sender who has to wait too long is asked to come again, before the file is read.
func TestAFullRoomIsBusy(t *testing.T) {
	a := &App{files: newRoom(100, time.Millisecond)}
	giveBack, err := a.files.take(t.Context(), 100)
	if err != nil {
		t.Fatal(err)
	}
	defer giveBack()
	if _, err := a.files.take(t.Context(), lengthOf(Sized{strings.NewReader("x"), 1})); trug.KindOf(err) != trug.Busy || !strings.Contains(err.Error(), "send it again") {
		t.Errorf("said %v", err)
	}
}

// What is set aside follows what the file says of itself, and is bounded.
func TestRoomThatAPhotographNeeds(t *testing.T) {
	if lengthOf(strings.NewReader("")) != MaxPhotographBytes || lengthOf(Sized{nil, -1}) != MaxPhotographBytes || lengthOf(Sized{nil, 1 << 40}) != MaxPhotographBytes || lengthOf(Sized{nil, 7}) != 7 {
		t.Error("a file of unknown length is the largest")
	}
	phone := photo.Facts{Format: photo.HEIC, Width: 4032, Height: 3024}
	if got := decodingBytes(phone); got < 12.2e6*26 || got > 400e6 {
		t.Errorf("a phone's HEIC is given %d bytes", got)
	}
	largest := photo.Facts{Format: photo.HEIC, Width: 8064, Height: 6048}
	if err := tooManyPixels("a", largest); err != nil || decodingBytes(largest) > roomForPictures {
		t.Errorf("the largest that phones write: %v, %d bytes", err, decodingBytes(largest))
	}
	bomb := photo.Facts{Format: photo.HEIC, Width: 11000, Height: 10000}
	if err := tooManyPixels("a", bomb); trug.KindOf(err) != trug.TooLarge {
		t.Errorf("a HEIC of 110 million pixels: %v", err)
	}
	if err := tooManyPixels("a", photo.Facts{Format: photo.JPEG, Width: 11000, Height: 10000}); err != nil {
		t.Errorf("a JPEG of the same size: %v", err)
	}
	if roomForFiles < 2*MaxPhotographBytes {
		t.Error("two of the largest files don't fit")
	}
}
