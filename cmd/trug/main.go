// Command trug runs a fungal bioblitz: server, embedded web app and command
// line in one program.
package main

import (
	"os"
	_ "time/tzdata" // time zones on machines that have none

	"trug/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdout, os.Stderr)) }
