package outline

import "trug/science/place"

// LooksSwapped reports whether the positions of a line or ring have latitude and
// longitude in the wrong order, judged by where they should lie: as they are
// they begin more than 200 km from there, the other way round less. Nothing in
// a file itself tells (20, 50) from (50, 20). It is a guess to put to people,
// never a reason to exchange the two silently.
func LooksSwapped(line []place.Position, near place.Position) bool {
	if len(line) == 0 {
		return false
	}
	const far place.Metres = 200_000
	p := line[0]
	return place.Distance(p, near) > far && place.Distance(place.Position{Lat: p.Lon, Lon: p.Lat}, near) <= far
}
