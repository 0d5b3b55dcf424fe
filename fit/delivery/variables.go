package delivery

import (
	"fmt"
	"slices"

	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
)

// Variables is how a lot was judged by the values of one characteristic.
type Variables struct {
	Name         string
	Plan         sampling.VariablesPlan
	Process      *Process // of all kits, without whose being normal the plan does not hold; nil where none has a value
	Drawn        []string // the sample
	Blank        []string // of those, without a value
	Mean, SD     float64  // of the sample
	Below, Above float64  // the shares of the process that are estimated to lie beyond the limits
	Outcome      sampling.Outcome
}

// byVariables draws the kits with the seed of the other samples. Its own measuring is in the spread of the sample, as
// the standard has it. The lot is undecided while a kit of the sample has no value.
func (l *lotKits) byVariables(judged *Lot, o Options) (*Variables, error) {
	v := &Variables{Name: o.Variables}
	if at := slices.IndexFunc(judged.Processes, func(p *Process) bool { return p.Name == v.Name }); at >= 0 {
		v.Process = judged.Processes[at]
	}
	a := judged.Acceptance
	if v.Process == nil {
		return v, nil
	}
	if !v.Process.Limited {
		return nil, fmt.Errorf("%s has no limits that are the same for all kits, so that no lot can be judged by its values", v.Name)
	}
	aql := o.AQL[v.Process.Class]
	if aql == 0 {
		return nil, fmt.Errorf("%s is %s, which has no AQL", v.Name, v.Process.Class)
	}
	var err error
	if v.Plan, err = sampling.VariablesFor(a.Size, o.Level, aql, a.Severity); err != nil {
		return nil, err
	}
	names := l.names(a.FromRead)
	drawn, err := sampling.Draw(len(names), min(v.Plan.Sample, len(names)), o.Seed)
	if err != nil {
		return nil, err
	}
	s := l.byName[v.Name]
	of := map[string]float64{}
	for i, k := range s.kits {
		of[l.kits[k].name] = s.values[i]
	}
	var values []float64
	for _, at := range drawn {
		v.Drawn = append(v.Drawn, names[at])
		if x, ok := of[names[at]]; ok {
			values = append(values, x)
		} else {
			v.Blank = append(v.Blank, names[at])
		}
	}
	if len(values) < v.Plan.Sample || len(values) < 3 {
		return v, nil
	}
	v.Mean, v.SD = lot.MeanSD(values)
	v.Below, v.Above = sampling.Outside(len(values), v.Mean, v.SD, v.Process.Lower, v.Process.Upper)
	if v.Outcome = sampling.Rejected; v.Below+v.Above <= v.Plan.Most {
		v.Outcome = sampling.Accepted
	}
	return v, nil
}
