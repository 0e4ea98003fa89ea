package cli

import "runtime/debug"

// version is that of the program as Go's build wrote it into the file: the
// module's version, or the commit it was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	setting := map[string]string{}
	for _, s := range info.Settings {
		setting[s.Key] = s.Value
	}
	v := info.Main.Version
	if commit := setting["vcs.revision"]; (v == "" || v == "(devel)") && len(commit) >= 12 {
		v = commit[:12]
		if setting["vcs.modified"] == "true" {
			v += " with changes"
		}
	}
	return v
}
