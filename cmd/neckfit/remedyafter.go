package main

import (
	"context"
	"io"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
)

// remedyAfter holds kits that were measured again against what their plans predicted.
func (p *program) remedyAfter(ctx context.Context, o remedyOptions, before []advised) error {
	if o.format != "text" {
		return misusef("--after writes text only")
	}
	kits, batch, err := p.allKits(ctx, o.after)
	if err != nil {
		return err
	}
	planned := map[string]advised{}
	for _, one := range before {
		planned[one.result.Kit] = one
	}
	var list []report.Reworked
	good := true
	for _, kit := range kits {
		one, ok := planned[kit.Name]
		if !ok || ctx.Err() != nil || o.after == o.path && !kit.WasReworked() {
			continue
		}
		r := fit.Check(kit, checkOf(batch, "guarded"))
		good = good && r.Verdict == fit.Pass
		for i := range one.advice.Plans {
			if one.advice.Plans[i].Level != remedy.Returned {
				list = append(list, report.Reworked{Before: one.result, After: r, Plan: &one.advice.Plans[i]})
				break
			}
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if len(list) == 0 {
		return misusef("no kit of %s was measured again in %s", o.path, o.after)
	}
	err = p.write(o.out, []string{o.path, o.after}, func(w io.Writer) error { return report.RemedyAfter(w, list) })
	if err == nil && !good {
		err = errNotGood
	}
	return err
}
