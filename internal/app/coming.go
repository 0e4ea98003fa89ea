package app

import (
	"context"
	"slices"
	"strings"

	"trug"
)

// ComingForay is a foray that lies ahead, as everybody who came in may know
// it: when and where to meet, who leads, and whether they come themselves. Who
// else comes is the leader's to know.
type ComingForay struct {
	ID      trug.ID   `json:"id"`
	Code    string    `json:"code"`
	Name    string    `json:"name"`
	Date    trug.Date `json:"date"`
	Start   string    `json:"start,omitempty"`
	End     string    `json:"end,omitempty"`
	EndDate trug.Date `json:"endDate,omitempty"`
	Site    string    `json:"site"`
	Meeting string    `json:"meeting,omitempty" doc:"Where to meet, in words"`
	Road    string    `json:"road,omitempty" doc:"How to get there"`
	Leader  string    `json:"leader,omitempty"`
	// SignedUp counts who said that they come; Places how many may, 0 where nobody set a limit.
	SignedUp int  `json:"signedUp"`
	Places   int  `json:"places,omitempty"`
	Comes    bool `json:"comes" doc:"The viewer signed up"`
	// Private is set where the site is private ground that the viewer does not
	// know: they ask to come, and learn where it is when they are signed up.
	Private bool `json:"private,omitempty"`
	Asks    bool `json:"asks,omitempty" doc:"The viewer asks to come"`
	// Leads says that the viewer leads it, and Heads what they counted.
	Leads bool        `json:"leads,omitempty"`
	Heads *ShownHeads `json:"heads,omitempty"`
}

// ComingForays lists the forays from today on, by date; for their leader those
// too that began before and are not over.
func (a *App) ComingForays(ctx context.Context, v Viewer) ([]ComingForay, error) {
	l, err := a.open(ctx, v, ComeAlong)
	if err != nil {
		return nil, err
	}
	out, today := []ComingForay{}, a.today(l.season)
	for _, y := range l.forays {
		if !y.Visit && (y.Date >= today || v.is(y.Leader) && y.Ends() >= today) {
			out = append(out, l.comingForay(v, y))
		}
	}
	slices.SortFunc(out, func(x, y ComingForay) int {
		return strings.Compare(string(x.Date)+x.Start+x.Code, string(y.Date)+y.Start+y.Code)
	})
	return out, nil
}

func (l *ledger) comingForay(v Viewer, y trug.Foray) ComingForay {
	site := l.sites[y.SiteID]
	c := ComingForay{ID: y.ID, Code: y.Code, Name: y.Name, Date: y.Date, Start: y.Start, End: y.End, EndDate: y.EndDate, Site: site.Name,
		Meeting: site.Meeting, Road: site.Road, Leader: l.person(y.Leader), SignedUp: len(y.SignedUp),
		Comes: v.Person != nil && slices.Contains(y.SignedUp, v.Person.ID)}
	if v.is(y.Leader) && v.keeps(y) {
		c.Leads, c.Heads = true, l.shownHeads(y)
	}
	if site.Permission != nil {
		c.Places = site.Permission.People
	}
	if !l.knows(v, y.SiteID) {
		c.Private, c.Site, c.Meeting, c.Road, c.Asks = true, "", "", "", v.Person != nil && slices.Contains(y.Asking, v.Person.ID)
	}
	return c
}
