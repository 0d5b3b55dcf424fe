package csvtext

import "testing"

func TestDelimiter(t *testing.T) {
	for text, want := range map[string]dialect{
		"":                               {comma: ','},
		"kit":                            {comma: ','},
		"kit,datum;\n":                   {comma: ','}, // as many of each: the comma
		"kit;datum,;\n":                  {comma: ';'},
		"kit\tdatum\n":                   {comma: '\t'},
		"# a;b;c\n\n \nkit,datum\n":      {comma: ','},
		"\"a;b;c;d\",datum,kind\n":       {comma: ','},
		"SEP=;\nkit,datum\n":             {comma: ';', sep: true},
		"sep=x\n":                        {comma: ','},
		"sep=,\nkit;datum\n":             {comma: ',', sep: true},
		"\n sep=; \nkit,datum\n":         {comma: ';', sep: true},
		"sep=;;\n":                       {comma: ';'},
		"k;\n":                           {comma: ';'},
		"#;\na\tb\n":                     {comma: '\t'},
		"a;b\tc\n":                       {comma: ';'},
		";;;\nkit,datum\n":               {comma: ','},
		"kit;datum\n1,5;2,5;3,5;4,5;5,5": {comma: ';'},
	} {
		if got := dialectOf([]byte(text)); got != want {
			t.Errorf("%q: got %+v, want %+v", text, got, want)
		}
	}
}
