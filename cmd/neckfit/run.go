package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"neckfit/measure"
)

// The exit codes.
const (
	allPass   = 0 // everything passes
	notGood   = 1 // something fails, is unsure or could not be judged
	wrongUse  = 2 // a mistake in the command line or in the tables
	noAccess  = 3 // something cannot be read or written, or the run was interrupted
	codeTable = `Exit codes: 0 everything passes, 1 something fails, is unsure or was not measured,
2 wrong use or bad input, 3 cannot read or write.`
)

// errNotGood makes the exit code 1; the report has said why.
var errNotGood = errors.New("not everything passes")

// misuse is a mistake that the user can mend: exit code 2.
type misuse struct{ error }

func misusef(format string, args ...any) error { return misuse{fmt.Errorf(format, args...)} }

// program is what the commands share.
type program struct {
	ctx            context.Context // ends with an interrupt
	stdin          interruptible
	stdinTaken     bool // it comes once
	stdout, stderr io.Writer
	started        bool   // the command line was understood, so that later errors do not show the usage
	tables         string // the folder of the tables besides the readings; "" for beside them
}

// run is the whole program but for the exit.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	signal.Ignore(outputSignals...) // a closed pipe or a file at its limit shall be an error of Write, so that files are tidied up
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	p := &program{ctx: ctx, stdin: interruptible{ctx, stdin}, stdout: stdout, stderr: stderr}
	root := p.root()
	root.SetArgs(args)
	help := &remembering{to: stdout}
	root.SetOut(help)
	root.SetErr(stderr)
	command, err := root.ExecuteContextC(ctx)
	if err == nil && help.err != nil {
		err, p.started = help.err, true
	}
	return p.exit(command, err)
}

// exit says what went wrong and gives the exit code.
func (p *program) exit(command *cobra.Command, err error) int {
	var cells measure.Errors
	var mistake misuse
	switch {
	case err == nil:
		return allPass
	case errors.Is(err, errNotGood):
		return notGood
	case errors.Is(err, syscall.EPIPE):
		return noAccess // whoever was reading has gone; nobody wants to hear more
	case errors.Is(err, context.Canceled):
		p.say("interrupted; nothing was written")
		return noAccess
	case !p.started:
		p.say("%v", err)
		fmt.Fprint(p.stderr, "\n", command.UsageString())
		return wrongUse
	case errors.As(err, &cells):
		p.sayCells(cells)
		return wrongUse
	case errors.As(err, &mistake):
		p.say("%v", err)
		return wrongUse
	}
	p.say("%v", err)
	return noAccess
}

// say writes a line of talk.
func (p *program) say(format string, args ...any) {
	fmt.Fprintln(p.stderr, plainly("neckfit: "+fmt.Sprintf(format, args...)))
}

// sayCells lists what is wrong with the tables, each with its place and cure, and counts it.
func (p *program) sayCells(cells measure.Errors) {
	for _, c := range cells {
		fmt.Fprintln(p.stderr, plainly(c.Error()))
	}
	count := fmt.Sprintf("%d mistakes", len(cells))
	switch last := cells[len(cells)-1]; {
	case last.Place == measure.Place{}:
		count = fmt.Sprintf("more than %d mistakes", len(cells)-1)
	case len(cells) == 1:
		count = "1 mistake"
	}
	p.say("%s in the batch; no kit was judged", count)
}

// root has all the commands.
func (p *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "neckfit",
		Short: "Check the fit of necks to bodies from measured points",
		Long: `Neckfit checks how the bolt-on necks, bodies and bridges of guitars and basses fit each
other, from readings taken with a calliper, a rule and a feeler gauge, before anything is
glued or drilled. A folder of CSV tables is a batch; one kit is a batch of one.

` + codeTable,
		Example: `  neckfit start delivery
  neckfit sheet --way edge --kit A1 > delivery/readings.csv
  neckfit check testdata/demo`,
		SilenceUsage:     true,
		SilenceErrors:    true,
		PersistentPreRun: func(*cobra.Command, []string) { p.started = true },
		RunE: func(*cobra.Command, []string) error {
			p.started = false
			return errors.New("which command?")
		},
	}
	root.AddCommand(p.startCommand(), p.sheetCommand(), p.checkCommand(), p.versionCommand())
	root.AddCommand(p.lotCommand(), p.gaugeCommand(), p.pairCommand())
	root.AddCommand(p.remedyCommand(), p.drillCommand())
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	giveExample(root, "completion", "  neckfit completion bash > neckfit.bash")
	giveExample(root, "help", "  neckfit help check")
	return root
}

// giveExample gives one of cobra's own commands the example that every command has.
func giveExample(root *cobra.Command, name, example string) {
	for _, c := range root.Commands() {
		if c.Name() == name {
			c.Example = example
		}
	}
}
