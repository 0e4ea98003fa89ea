// Package signin makes and reads what people come in with: field codes,
// recovery codes, recovery phrases, tokens and passwords, and reckons how long
// somebody who guesses has to wait. It keeps nothing: random bits and instants
// come as arguments, and what is hashed here is stored by others.
package signin
