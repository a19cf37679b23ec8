// Runnel tells whether a low-slope re-roof drains, designs the tapered
// insulation that makes it drain, and draws and counts the boards.
//
//	runnel run JOB [-o OUT]     the whole job: verdict, layout, pictures, tables
//	runnel survey JOB           the surface that the shots describe
//	runnel survey FILE          what a survey file holds on its own
//	runnel drainage JOB         ponds, ways to the outlets, verdict
//	runnel taper JOB            the layout and its board schedule
//	runnel asbuilt JOB [SHOTS]  the surface as laid against the design
//	runnel new DIR              a commented starter job
//
// JOB is a job folder or its job.yaml. Exit codes: 0 done, whatever the
// verdict; 1 failed; 2 wrong use; 3 (with --strict) done, but the finished
// surface does not pass.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
