package storetest

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/place"
)

// everyThing fills every field of every kind, so that a field which is lost on
// the way to the database or back is found by its absence.
func everyThing(t *testing.T, b *bench) {
	seen := map[store.Kind]bool{}
	roundTrip[trug.Season](t, b, seen)
	roundTrip[trug.Person](t, b, seen)
	roundTrip[trug.Site](t, b, seen)
	roundTrip[trug.Foray](t, b, seen)
	roundTrip[trug.Taxon](t, b, seen)
	roundTrip[trug.LookAlike](t, b, seen)
	roundTrip[trug.Protection](t, b, seen)
	roundTrip[trug.Record](t, b, seen)
	roundTrip[trug.Photograph](t, b, seen)
	roundTrip[trug.View](t, b, seen)
	roundTrip[trug.Determination](t, b, seen)
	roundTrip[trug.Pass](t, b, seen)
	roundTrip[trug.Request](t, b, seen)
	roundTrip[trug.Lift](t, b, seen)
	roundTrip[trug.Deposit](t, b, seen)
	roundTrip[trug.SlipRange](t, b, seen)
	roundTrip[trug.Mark](t, b, seen)
	roundTrip[trug.Redaction](t, b, seen)
	roundTrip[trug.Wish](t, b, seen)
	roundTrip[trug.CardBatch](t, b, seen)
	roundTrip[trug.FoundCard](t, b, seen)
	roundTrip[trug.Measurement](t, b, seen)
	roundTrip[trug.Colour](t, b, seen)
	roundTrip[trug.Message](t, b, seen)
	for _, kind := range store.Kinds {
		if !seen[kind] {
			t.Errorf("no %s was tried", kind.Word())
		}
	}
	clean(t, b)
}

func roundTrip[T store.Thing](t *testing.T, b *bench, seen map[store.Kind]bool) {
	t.Helper()
	var full, empty T
	filler := &filler{t: t}
	filler.fill(reflect.ValueOf(&full).Elem(), reflect.TypeFor[T]().Name())
	identify := reflect.ValueOf(&empty).Elem().FieldByName("ID")
	identify.SetString(string(id(1)))
	for _, want := range []T{full, empty} {
		row, err := store.RowOf(want)
		if err != nil {
			t.Fatal(err)
		}
		seen[row.Kind] = true
		put(t, b, want)
		if got := get[T](t, b, row.ID); !reflect.DeepEqual(got, want) {
			t.Errorf("%s came back as\n%+v, want\n%+v", row.Kind.Word(), got, want)
		}
		var rows []store.Row
		err = b.Read(b.ctx, func(r store.Reader) error {
			loaded, err := r.Load(b.ctx, row.Kind, row.ID)
			rows = append(rows, loaded)
			return err
		})
		if err != nil || !reflect.DeepEqual(rows[0], row) {
			t.Errorf("row of %s came back as\n%+v, want\n%+v (%v)", row.Kind.Word(), rows[0], row, err)
		}
	}
}

// filler sets every field to a value of its own.
type filler struct {
	t *testing.T
	n int
}

func (f *filler) fill(v reflect.Value, at string) {
	f.n++
	switch v.Interface().(type) {
	case time.Time:
		v.Set(reflect.ValueOf(noon.Add(time.Duration(f.n) * time.Hour)))
		return
	case place.Area:
		area, err := place.NewArea([]place.Position{{Lat: 46, Lon: -28}, {Lat: 46, Lon: -27.5}, {Lat: 46.5, Lon: -27.5}})
		if err != nil {
			f.t.Fatal(err)
		}
		v.Set(reflect.ValueOf(area))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprintf("%s \"%d\" æ", at, f.n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(f.n))
	case reflect.Uint8:
		v.SetUint(uint64(f.n % 256))
	case reflect.Float64:
		v.SetFloat(float64(f.n) + 1.0/3)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(v.Elem(), at)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		f.fill(v.Index(0), at)
		f.fill(v.Index(1), at)
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i), at)
		}
	case reflect.Map: // of words to what JSON writes: a text, which comes back as it is
		v.Set(reflect.MakeMap(v.Type()))
		one := reflect.New(v.Type().Elem()).Elem()
		f.fill(one, at)
		v.SetMapIndex(reflect.ValueOf("a word æ"), one)
	case reflect.Interface:
		v.Set(reflect.ValueOf(fmt.Sprintf("%s \"%d\" æ", at, f.n)))
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if !field.IsExported() {
				f.t.Fatalf("%s.%s is not exported: tell the filler how to make a %s", at, field.Name, v.Type())
			}
			f.fill(v.Field(i), at+"."+field.Name)
		}
	default:
		f.t.Fatalf("%s: the filler can't make a %s", at, v.Type())
	}
}
