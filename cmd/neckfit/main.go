// Neckfit checks the fit of necks to bodies from measured points, a batch of kits at a time.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
