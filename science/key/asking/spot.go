package asking

import (
	"slices"

	"trug/science/advice"
	"trug/science/describe"
	"trug/science/key"
)

// SpotAsked is what is known of a find while its finder still stands before it.
type SpotAsked struct {
	Answers []GivenAnswer `json:"answers" maxItems:"200"`
	// Views are the kinds of view that are there.
	Views []string `json:"views" maxItems:"60"`
	// May are the things that may be done to it, as ruled by place, day and kind:
	// "pick", "cut", "dig", "print". What is not named may not.
	May []string `json:"may" maxItems:"10"`
}

// Spot is what is still worth doing there.
type Spot struct {
	Asked Asked `json:"asked"`
	// Advice names views that are still wanted, the one that matters most first.
	Advice []advice.Advice `json:"advice"`
}

// OnTheSpot returns the questions that tell most and the views that are still
// wanted. Its errors are those of answers that don't fit the vocabulary.
func OnTheSpot(words *describe.Vocabulary, k *key.Key, asked SpotAsked) (Spot, error) {
	answers, err := ReadAll(words, asked.Answers)
	if err != nil {
		return Spot{}, err
	}
	next, err := Next(words, k, Known{Answers: answers, Views: asked.Views, May: asked.May}, Few)
	if err != nil {
		return Spot{}, err
	}
	may := func(what string) bool { return slices.Contains(asked.May, what) }
	told := advice.Told{Form: only(answers["form"]), Ring: ringed(answers["ring"]), Leave: advice.Leave{Cut: may("cut"), Dig: may("dig"), Print: may("print")}}
	for _, v := range asked.Views {
		told.Taken = append(told.Taken, advice.Kind(v))
	}
	return Spot{next, advice.Next(told, Few)}, nil
}

// only is the one state that was answered, "" where there is none or several.
func only(a describe.Answer) string {
	if len(a.States) != 1 {
		return ""
	}
	return a.States[0]
}

// noRing are the states that tell of no ring: none, a cobweb, a band of colour,
// and what could not be told.
var noRing = []string{"none", "cobweb", "zone", "not_sure"}

// ringed reports whether a ring was surely seen.
func ringed(a describe.Answer) bool {
	return len(a.States) > 0 && !slices.ContainsFunc(a.States, func(s string) bool { return slices.Contains(noRing, s) })
}
