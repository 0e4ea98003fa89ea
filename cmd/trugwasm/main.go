//go:build js && wasm

// Command trugwasm is the part of Trug that runs in a browser's worker: what a
// photograph shows and what can be done better about it, the next question, and
// the description in words. It is a door to packages of science, in JSON; the
// browser fetches, decodes and keeps.
package main

import (
	"encoding/json"
	"fmt"
	"image"
	"runtime/debug"
	"syscall/js"
	"unsafe"

	"trug/science/advice"
	"trug/science/card"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/asking"
	"trug/science/measure"
	"trug/science/view"
)

// door is what the worker calls; one call at a time.
type door struct {
	finder card.Finder
	pix    []byte // of the photograph in hand, kept from one to the next
	strip  []byte // rows of it that are to be turned
	// words and key are made of the season's tables, and kept from one question to the next.
	of    asking.HeldKey
	words *describe.Vocabulary
	key   *key.Key
}

// mostPixels bounds what is looked at: the worker scales larger photographs down.
const mostPixels = 13_000_000

// moreRoom is by how much the memory may grow, in %, before what is no longer used
// is given back: a phone has little of it, and what is held are pixels, which cost
// nothing to look through.
const moreRoom = 20

func main() {
	debug.SetGCPercent(moreRoom)
	d := &door{}
	js.Global().Set("trugDoor", map[string]any{
		"room":     js.FuncOf(d.room),
		"strip":    js.FuncOf(d.stripRoom),
		"turn":     js.FuncOf(d.turn),
		"look":     answering(d.look),
		"glance":   answering(d.glance),
		"rehearse": answering(d.rehearse),
		"question": answering(d.question),
	})
	if ready := js.Global().Get("trugReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}

// room makes room for so many bytes and tells where in the memory they lie, so
// that the browser writes pixels straight into it.
func (d *door) room(_ js.Value, args []js.Value) any {
	n := args[0].Int()
	if n <= 0 || n > 4*mostPixels {
		return -1
	}
	if cap(d.pix) < n {
		d.pix = make([]byte, n)
	}
	d.pix = d.pix[:n]
	return int(uintptr(unsafe.Pointer(unsafe.SliceData(d.pix))))
}

// answering wraps a call that takes and gives JSON: {"answer"} or {"wrong"}.
func answering(call func(asked []byte) (any, error)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) any {
		answer, err := call([]byte(args[0].String()))
		out := map[string]any{"answer": answer}
		if err != nil {
			out = map[string]any{"wrong": err.Error()}
		}
		text, err := json.Marshal(out)
		if err != nil {
			return `{"wrong":"the answer can't be written down"}`
		}
		return string(text)
	})
}

// toLook is what is told of a photograph whose pixels lie in the room.
type toLook struct {
	Width  int         `json:"width"`
	Height int         `json:"height"`
	Kind   advice.Kind `json:"kind"`
	Film35 float64     `json:"film35"`
	Flash  bool        `json:"flash"`
}

// picture reads what is asked, and returns the pixels in the room as a picture.
func (d *door) picture(asked []byte) (a toLook, img *image.RGBA, err error) {
	if err := json.Unmarshal(asked, &a); err != nil {
		return a, nil, err
	}
	if a.Width <= 0 || a.Height <= 0 || a.Width*a.Height*4 != len(d.pix) {
		return a, nil, fmt.Errorf("%d by %d pixels don't fit the %d bytes handed over", a.Width, a.Height, len(d.pix))
	}
	return a, &image.RGBA{Pix: d.pix, Stride: 4 * a.Width, Rect: image.Rect(0, 0, a.Width, a.Height)}, nil
}

func (d *door) look(asked []byte) (any, error) {
	a, img, err := d.picture(asked)
	if err != nil {
		return nil, err
	}
	return advice.Look(&d.finder, img, a.Kind, view.Known{Film35: a.Film35, Flash: a.Flash, Print: measure.Scale{}}), nil
}

// glance looks for the card in a frame of the camera's preview.
func (d *door) glance(asked []byte) (any, error) {
	a, img, err := d.picture(asked)
	if err != nil {
		return nil, err
	}
	return view.Glimpse(&d.finder, img, view.Known{Film35: a.Film35}), nil
}

// toAsk is what is told of a find, and by which season's tables to go.
type toAsk struct {
	Season asking.HeldKey `json:"season"`
	asking.SpotAsked
}

// read reads what is told, and makes the season's key where it is another than
// the last.
func (d *door) read(asked []byte) (a toAsk, err error) {
	if err = json.Unmarshal(asked, &a); err != nil {
		return a, err
	}
	if d.key == nil || d.of != a.Season {
		d.of = a.Season
		d.words, d.key, err = a.Season.Key()
	}
	return a, err
}

// question tells what is still worth doing before a find, and the description
// so far.
func (d *door) question(asked []byte) (any, error) {
	a, err := d.read(asked)
	if err != nil {
		return nil, err
	}
	return asking.OnTheSpot(d.words, d.key, a.SpotAsked)
}
