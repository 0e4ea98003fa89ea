package paint

import (
	"testing"
	"time"
)

// sampleFinds covers the ground kinds and the commonest forms.
var sampleFinds = []Find{
	{Seed: 11, Form: "gilled", WidthMM: 110, StemLengthMM: 120, StemWidthMM: 20, L: 46, A: 52, B: 36, ColourWords: "red with white warts", SporePrint: "white", Substrate: "soil", Host: "Betula", Habit: "scattered", Ripeness: "mature", NumberSeen: 3},
	{Seed: 12, Form: "gilled", WidthMM: 30, StemLengthMM: 45, StemWidthMM: 5, L: 60, A: -14, B: 38, ColourWords: "green to yellow, slimy", SporePrint: "white", Substrate: "grass", Habit: "gregarious", Ripeness: "mature", NumberSeen: 9},
	{Seed: 13, Form: "bracket", WidthMM: 60, HeightMM: 3, L: 44, A: 6, B: 12, ColourWords: "zoned grey, brown, blue", SporePrint: "white", Substrate: "dead_fallen", Host: "Fagus", Habit: "tiered", Ripeness: "mature", NumberSeen: 12},
	{Seed: 14, Form: "spined_stalked", WidthMM: 80, StemLengthMM: 50, StemWidthMM: 20, L: 78, A: 10, B: 30, ColourWords: "cream to apricot", SporePrint: "cream", Substrate: "litter_leaf", Host: "Fagus", Habit: "gregarious", Ripeness: "mature", NumberSeen: 5},
	{Seed: 15, Form: "chanterelle", WidthMM: 40, StemLengthMM: 55, StemWidthMM: 6, L: 47, A: 10, B: 26, ColourWords: "yellow-brown", SporePrint: "cream", Substrate: "moss", Host: "Picea", Habit: "gregarious", Ripeness: "mature", NumberSeen: 12},
}

// BenchmarkPhotograph is the cost of one finished file, averaged over grounds
// and views.
func BenchmarkPhotograph(b *testing.B) {
	cam := Camera{Make: "Wimbrel", Model: "W1", Taken: time.Date(2026, 10, 3, 10, 0, 0, 0, time.UTC)}
	var bytes int
	for i := 0; i < b.N; i++ {
		f := sampleFinds[i%len(sampleFinds)]
		v := Views[i/len(sampleFinds)%len(Views)]
		out, err := Photograph(f, Shot{View: v, Card: v == Top, Sharp: true, ExposureOK: true, TiltDeg: 6}, cam)
		if err != nil {
			b.Fatal(err)
		}
		bytes += len(out)
	}
	b.ReportMetric(float64(bytes)/float64(b.N)/1000, "kB/file")
}
