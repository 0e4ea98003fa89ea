// Package offline is what phones that were out of reach and the server agree
// on: the message in which a phone tells of a record, and the rule by which
// messages are merged with what the server has. It knows no network, storage
// or clock; phone and server can both run it.
//
// The rule, in words:
//
//   - A message says which fields of a record it sets, and which version of the
//     record its phone had seen. Versions count the changes of the record at
//     the server, which is the one order that no wrong clock can upset.
//   - A message can come any number of times; phone and number tell it.
//   - A field that nobody changed since the version seen takes the value.
//   - A field that somebody else changed meanwhile stays: what was received
//     first stands, and the value that comes later goes into the history. Whoever
//     sent it is told, and can set it again, having seen what stands.
//   - Of one phone the higher number stands, in whichever order they come.
//   - Two who set the same value agree; nobody loses.
//   - Answers to further questions are a field each.
//   - Views only ever add up. What each is called is a field by itself, whose
//     versions count how often it was called another.
//
// So nothing that was sent is lost: it stands in the record, or in its history.
package offline
