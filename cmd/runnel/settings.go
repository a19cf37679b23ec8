package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/viper"

	"runnel/survey/read"
)

// settingsOf says which job keys the environment (RUNNEL_TAPER_SLOPE for
// taper.slope) and the --set flags override; flags win over the environment.
// The job file itself is parsed by survey/read, which keeps its line numbers.
func settingsOf(flags []string) ([]read.Setting, error) {
	known := read.SettableKeys()
	// No key is part of another to viper: else survey counts as set, and as
	// empty, wherever survey.hi is.
	v := viper.NewWithOptions(viper.KeyDelimiter("\x00"))
	v.SetEnvPrefix("runnel")
	v.SetEnvKeyReplacer(strings.NewReplacer(".", "_"))
	from := map[string]string{}
	for _, key := range known {
		if err := v.BindEnv(key); err != nil {
			return nil, fmt.Errorf("bind %s to the environment: %w", key, err)
		}
		from[key] = "environment RUNNEL_" + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
	}
	for _, f := range flags {
		key, value, ok := strings.Cut(f, "=")
		if !ok || !slices.Contains(known, key) {
			return nil, useError{fmt.Errorf("--set %q: write --set key=value, key one of %s",
				f, strings.Join(known, ", "))}
		}
		v.Set(key, value)
		from[key] = "flag --set"
	}
	var out []read.Setting
	for _, key := range known {
		if v.IsSet(key) {
			out = append(out, read.Setting{Key: key, Value: v.GetString(key), From: from[key]})
		}
	}
	return out, nil
}
