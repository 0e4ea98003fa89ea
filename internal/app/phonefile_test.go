package app_test

import (
	"bytes"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/offline"
)

// A phone's file is taken in once however often it comes, also when the phone
// sends the same records afterwards.
func TestAPhonesFile(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v := s.As("R08")
	season, err := s.Season(t.Context(), v)
	if err != nil {
		t.Fatal(err)
	}
	picture, lost := apptest.JPEG(t, 9101), apptest.JPEG(t, 9102)
	message := func(number int64, pictures ...[]byte) offline.Message {
		m := offline.Message{Phone: "01999999-0000-7000-8000-00000000000a", Number: number, Record: s.ID(), Set: fields("form", "gilled")}
		for _, p := range pictures {
			m.Views = append(m.Views, offline.View{Photograph: hashOf(p), Kind: trug.Top, FileName: "../a.jpg"})
		}
		return m
	}
	whole := message(1, picture)
	wrong := message(2, []byte("no picture"))
	file := offline.File{Season: season.Code, Messages: []offline.Message{whole, wrong, message(3, lost)}}
	var packed bytes.Buffer
	if err := offline.WriteFile(&packed, file, [][]byte{picture, []byte("no picture")}, "jpg"); err != nil {
		t.Fatal(err)
	}
	read, err := offline.ReadFile(bytes.NewReader(packed.Bytes()), int64(packed.Len()))
	if err != nil {
		t.Fatal(err)
	}
	var number string
	for range 2 {
		got, err := s.TakeFile(t.Context(), v, read, nil)
		if err != nil || len(got) != 3 || got[0].State != "taken" || got[0].Version != 1 || got[1].State != "refused" || got[1].Says == "" || got[2].State != "missing" {
			t.Fatalf("%+v %v", got, err)
		}
		if number != "" && got[0].FieldNumber != number {
			t.Errorf("it was %s, and is %s", number, got[0].FieldNumber)
		}
		number = got[0].FieldNumber
	}
	if got := take(t, s, "R08", whole); got.State != "taken" || got.FieldNumber != number || len(got.Kept) != 1 {
		t.Errorf("sent afterwards: %+v", got)
	}
	sheet, err := s.App.Record(t.Context(), v, whole.Record)
	if err != nil || len(sheet.Views) != 1 {
		t.Errorf("%+v %v", sheet, err)
	}
	read.Season = "X1"
	if _, err := s.TakeFile(t.Context(), v, read, nil); trug.KindOf(err) != trug.Invalid {
		t.Errorf("another season's: %v", err)
	}
	if _, err := s.TakeFile(t.Context(), app.Viewer{Season: v.Season}, read, nil); err == nil {
		t.Error("an outsider's is taken")
	}
}
