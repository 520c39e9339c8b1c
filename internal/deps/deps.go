package deps

import (
	_ "github.com/google/go-cmp/cmp"
	_ "github.com/jedib0t/go-pretty/v6/table"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/santhosh-tekuri/jsonschema/v6"
	_ "github.com/goccy/go-yaml"
	_ "github.com/spf13/cobra"
	_ "go.yaml.in/yaml/v4"
	_ "gonum.org/v1/gonum/mat"
	_ "pgregory.net/rapid"
)
