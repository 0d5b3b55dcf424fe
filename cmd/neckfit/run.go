// Neckfit checks the fit of necks to bodies from measured points, a batch of kits at a time.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"neckfit/measure"
	"neckfit/measure/csvtext"
	"neckfit/report"
)

func main() {
	// A trace is for who mends the program, and not for the bench; GOTRACEBACK=single shows it.
	debug.SetTraceback("none")
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// The exit codes.
const (
	allPass   = 0 // everything passes
	notGood   = 1 // something fails, is unsure, incomplete or implausible, or could not be judged
	wrongUse  = 2 // a mistake in the command line or in the tables
	noAccess  = 3 // something cannot be read or written, or the run was interrupted
	codeTable = `Exit codes: 0 everything passes, 1 something fails, is unsure, implausible or was not measured,
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
	input          io.Reader       // standard input itself
	stdin          interruptible   // and how it is read
	stdinTaken     bool            // it comes once
	planned        bool            // of a batch its rows are wanted, read or not
	stdout, stderr io.Writer
	started        bool            // the command line was understood, so that later errors do not show the usage
	told           map[string]bool // notices about the batch
	workbook       string          // the sheet of the workbook that results become; "" for none
	likeInput      bool            // csv is written as the readings are
	dialect        csvtext.Dialect // of the first readings that were read
	errors         string          // how mistakes in the tables are listed
	tables         string          // the folder of the tables besides the readings; "" for beside them
}

// run is the whole program but for the exit.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	signal.Ignore(outputSignals...) // a closed pipe or a file at its limit shall be an error of Write, so that files are tidied up
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	ctx, end := context.WithCancelCause(ctx)
	defer end(nil)
	go watchMemory(ctx, memoryLimit(), end)
	p := &program{ctx: ctx, input: stdin, stdin: interruptible{ctx, stdin}, stdout: stdout, stderr: stderr, told: map[string]bool{}}
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
		if context.Cause(p.ctx) == errMemory {
			p.say("%v", errMemory)
			return noAccess
		}
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
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(c *cobra.Command, _ []string) error {
			p.started = true
			if err := wholeFlags(c); err != nil {
				return err
			}
			if err := formatOfOut(c); err != nil {
				return err
			}
			if format := c.Flags().Lookup("format"); p.likeInput && (format == nil || format.Value.String() != "csv") {
				return misusef("--csv-like-input goes with --format csv")
			}
			return p.asWorkbook(c)
		},
		RunE: func(*cobra.Command, []string) error { return report.Greeting(p.stdout, p.page("")) },
	}
	for _, o := range []interface{ command(*program) *cobra.Command }{
		&startOptions{}, &sheetOptions{}, &benchOptions{}, &checkOptions{}, &remedyOptions{}, &drillOptions{}, &lotOptions{}, &gaugeOptions{}, &pairOptions{},
		&explainOptions{}, &versionOptions{},
	} {
		root.AddCommand(o.command(p))
	}
	root.SetHelpCommand(&cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Tell about a command",
		Example: "  neckfit help check",
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return misusef("there is no command %q; neckfit help lists them", strings.Join(args, " "))
			}
			c.InitDefaultHelpFlag() // shown among the flags
			return c.Help()
		},
	})
	root.Version = version(debug.ReadBuildInfo())
	root.SetVersionTemplate("{{.Version}}\n")
	p.fitHelp(root)
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() != "completion" {
			continue
		}
		c.Example = "  neckfit completion bash > neckfit.bash"
		for _, shell := range c.Commands() {
			shell.Long = "Completion " + shell.Name() + " writes a script for this shell, which then completes commands and flags of neckfit. The " +
				"shell's own manual says where it looks for such scripts."
			shell.Example = "  neckfit completion " + shell.Name() + " > neckfit." + shell.Name()
		}
	}
	return root
}

// asWorkbook takes format xlsx for csv that is made a workbook of in the end, whose sheet has the command's
// name, or the table's.
func (p *program) asWorkbook(c *cobra.Command) error {
	format := c.Flags().Lookup("format")
	if format == nil || format.Value.String() != "xlsx" {
		return nil
	}
	if out := c.Flags().Lookup("out"); out.Value.String() == "" && terminal(p.stdout) {
		return misusef("xlsx is nothing for a terminal: give --out a NAME.xlsx")
	}
	p.workbook = c.Name()
	if p.workbook == "sheet" {
		p.workbook = "readings"
	}
	return format.Value.Set("csv")
}

// endings are the formats that the ending of a file's name stands for.
var endings = map[string]string{".csv": "csv", ".jsonl": "jsonl", ".html": "html", ".htm": "html", ".pdf": "pdf", ".svg": "svg", ".xlsx": "xlsx"}

// formatOfOut takes the format from the name given to --out, and refuses a name that stands for another
// format than --format.
func formatOfOut(c *cobra.Command) error {
	out, format := c.Flags().Lookup("out"), c.Flags().Lookup("format")
	if out == nil || format == nil {
		return nil
	}
	name := out.Value.String()
	wanted := endings[strings.ToLower(filepath.Ext(name))]
	switch {
	case wanted == "" || wanted == format.Value.String():
		return nil
	case format.Changed:
		return misusef("--out %s is the name of a %s file, and --format says %s: leave one out or make them agree", name, wanted, format.Value)
	}
	if err := format.Value.Set(wanted); err != nil {
		return misusef("%s cannot write %s, which the name --out %s asks for: %w", c.Name(), wanted, name, err)
	}
	return nil
}

// wholeFlags refuses a flag that was given and has nothing in it. The output - is standard output.
func wholeFlags(c *cobra.Command) (err error) {
	c.Flags().Visit(func(f *pflag.Flag) {
		switch value := f.Value.String(); {
		case f.Value.Type() == "string" && strings.TrimSpace(value) == "":
			err = misusef("--%s is blank", f.Name)
		case f.Name == "out" && value == "-":
			err = f.Value.Set("")
		}
	})
	return err
}

// versionOptions are none.
type versionOptions struct{}

func (*versionOptions) command(p *program) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Tell which version this is",
		Example: "  neckfit version",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(p.stdout, version(debug.ReadBuildInfo()))
			return err
		},
	}
}

// version is what the build left in the program.
func version(info *debug.BuildInfo, ok bool) string {
	if !ok {
		return "neckfit, built without version information"
	}
	text := "neckfit " + info.Main.Version
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			text += ", commit " + s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			text += " with changes"
		}
	}
	return text + ", " + info.GoVersion
}

// choice is a flag that takes one of a few words; the first is its default.
type choice struct {
	word  *string
	words []string
}

func newChoice(word *string, words ...string) choice {
	*word = words[0]
	return choice{word, words}
}

// String is the chosen word.
func (c choice) String() string { return *c.word }

// Type lists the words for the help.
func (c choice) Type() string { return strings.Join(c.words, "|") }

// Set takes one of the words.
func (c choice) Set(word string) error {
	if !slices.Contains(c.words, word) {
		return fmt.Errorf("expected one of %s", strings.Join(c.words, ", "))
	}
	*c.word = word
	return nil
}

// oneArgument is for a command that needs exactly one.
func oneArgument(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) == 0:
			return fmt.Errorf("%s needs %s", c.Name(), what)
		case len(args) > 1:
			return fmt.Errorf("%s takes one argument, %s, and got %d", c.Name(), what, len(args))
		case strings.TrimSpace(args[0]) == "":
			return fmt.Errorf("%s needs %s, and got a blank one", c.Name(), what)
		}
		return nil
	}
}
