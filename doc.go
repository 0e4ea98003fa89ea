// Package trug holds the words of a season: what a fungal bioblitz keeps
// (seasons, people, sites, forays, records, views, determinations, deposits),
// how each is checked, and the two rules that follow from the words alone:
// which name of a find is current, and what a find still lacks.
//
// The structs here are the authoritative model. SQL rows, messages between
// phone and server, and Darwin Core rows are conversions of them, each with a
// round-trip test. The package does no input or output.
//
// Topics have a second home under science, where the computing is done: a
// Determination lies here, how far it can be trusted is science/reliability.
package trug
