// A caller with the client of openapi-generator for Go: the stove of the README, then the demo's gap statement.
package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"

	client "github.com/GIT_USER_ID/GIT_REPO_ID"
)

func main() {
	configuration := client.NewConfiguration()
	configuration.Servers = client.ServerConfigurations{{URL: os.Args[1]}}
	appraisal := client.NewAPIClient(configuration).AppraisalAPI
	stove := client.NewComponent("stove", "Two-burner stove", "stove", "1", "268.00", "2026-02-14")
	build := client.NewBuild("Camper", "USD")
	build.SetComponents([]client.Component{*stove})
	first := client.NewEstimateRequest(*build)
	first.SetAsOf("2026-11-01")
	estimate, _, err := appraisal.CreateEstimate(context.Background()).EstimateRequest(*first).Execute()
	check(err)
	body, err := os.ReadFile(os.Args[2])
	check(err)
	var request client.GapRequest
	check(json.Unmarshal(body, &request))
	statement, _, err := appraisal.CreateGapStatement(context.Background()).GapRequest(request).Execute()
	check(err)

	told := []string{estimate.Totals.ActualCashValue}
	for _, each := range statement.Settlements {
		told = append(told, each.Gap)
	}
	line, err := json.Marshal(told)
	check(err)
	fmt.Println(string(line))
}

func check(err error) {
	if err != nil {
		panic(err)
	}
}
