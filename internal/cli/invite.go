package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"trug"
)

func inviteCommand(s *streams) *cobra.Command {
	var data, address, again string
	c := &cobra.Command{
		Use:   "invite [SEASON]",
		Short: "Print an invitation for a coordinator, when nobody can sign in any more",
		Long: `Prints a link by which one person comes in as coordinator of the season and
chooses a password or makes a passkey. It is good for a day, and once. Everybody
else is invited on the Season desk, under Coming in. Works beside a server that is
running. With --again it is for a coordinator who is in the season already and has
lost their way in; their devices are signed out when they use it.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, closeData, err := openData(c.Context(), data, opening{how: toWork, address: address})
			if err != nil {
				return err
			}
			defer closeData()
			season, err := a.SeasonByCode(c.Context(), strings.Join(args, ""))
			if err != nil {
				return err
			}
			var person trug.ID
			if again != "" {
				coordinators, err := a.Everybody(c.Context(), season.ID, trug.Coordinator)
				if err != nil {
					return err
				}
				if person, err = called(coordinators, again); err != nil {
					return err
				}
			}
			path, err := a.InviteCoordinator(c.Context(), season.ID, person)
			if err != nil {
				return err
			}
			link := strings.TrimRight(address, "/") + path
			return s.show(map[string]string{"link": link}, func() {
				fmt.Fprintf(s.out, "Open this link within a day, in the browser that is to be coordinator of %s:\n  %s\nIt is good for once. Give it to nobody else.\n", season.Title, link)
			})
		},
	}
	c.Flags().StringVar(&data, "data", "trug-data", "folder of the season's data")
	c.Flags().StringVar(&address, "public-address", "http://127.0.0.1:8080", "address under which the server is reached")
	c.Flags().StringVar(&again, "again", "", "name or mark of a coordinator who is to come in anew")
	return c
}

// called returns the one of the people with the name or mark.
func called(people []trug.Person, who string) (trug.ID, error) {
	var found trug.ID
	names := ""
	for _, p := range people {
		names += fmt.Sprintf(" %q", p.Name)
		if strings.EqualFold(p.Name, who) || p.Code != "" && strings.EqualFold(p.Code, who) {
			if found != "" {
				return "", trug.Errorf(trug.Conflict, who, "two coordinators are called so: give the mark of the one meant")
			}
			found = p.ID
		}
	}
	if found == "" {
		return "", trug.Errorf(trug.NotFound, who, "no coordinator is called so; there are:%s", names)
	}
	return found, nil
}
