package trug

import (
	"testing"

	"trug/science/describe"
)

// A return is worth while as long as the fruitbody stands; what does not need
// it stays open, and a dried specimen supplies little (drying changes sizes,
// colours and shapes: common practice, no source).
func TestReturns(t *testing.T) {
	for _, c := range []struct {
		form, voucher string
		q             Request
		today         Date
		want          Return
	}{
		{"gilled", "", Request{View: Base}, "2026-10-11", Return{Can: true, Until: "2026-10-11", Stands: StandsDays}},
		{"gilled", "", Request{View: Base}, "2026-10-12", Return{Until: "2026-10-11", Stands: StandsDays}},
		{"bracket", "", Request{What: ForSize}, "2027-03-01", Return{Can: true, Until: "2027-03-30", Stands: StandsMonths}},
		{"lichen_leaf", "", Request{View: CloseUp}, "2028-10-01", Return{Can: true, Stands: StandsYears}},
		{"slime_creeping", "", Request{View: Top}, "2026-10-03", Return{Until: "2026-10-02", Stands: StandsHours}},
		{"gilled", "", Request{View: Surroundings}, "2026-12-01", Return{Can: true}},
		{"gilled", "W26-0001", Request{View: Micrograph}, "2026-12-01", Return{Can: true, Kept: true}},
		{"gilled", "W26-0001", Request{What: ForSize}, "2026-12-01", Return{Until: "2026-10-11", Stands: StandsDays}},
	} {
		r := Record{Form: c.form, Voucher: c.voucher, Found: When{Date: "2026-10-01"}}
		if got := ReturnFor(r, c.q, c.today); got != c.want {
			t.Errorf("%s, specimen %q, %+v on %s: %+v, want %+v", c.form, c.voucher, c.q, c.today, got, c.want)
		}
	}
}

// Every form for which a span is given is a state of the vocabulary.
func TestStandingForms(t *testing.T) {
	for form := range standing {
		if _, ok := describe.Find("form", form); !ok {
			t.Errorf("%q is no form of the vocabulary", form)
		}
	}
}

func TestDatePlus(t *testing.T) {
	if got := Date("2026-10-25").Plus(10); got != "2026-11-04" {
		t.Errorf("ten days after 25 October: %s", got)
	}
}
