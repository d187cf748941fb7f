// A caller with the client of openapi-generator for Go: the stove of the README, the demo's gap statement, two facts.
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

	var cooking, sink interface{} = false, map[string]interface{}{"value": false, "planned": true}
	build.SetFacts(map[string]*interface{}{"has_cooking": &cooking, "has_sink": &sink})
	kept := client.NewGapRequest(*build)
	document, _, err := appraisal.CreateDocument(context.Background()).GapRequest(*kept).Execute()
	check(err)
	facts := document.Build.GetFacts()
	kitchen := (*facts["has_sink"]).(map[string]interface{})

	told := []string{estimate.Totals.ActualCashValue}
	for _, each := range statement.Settlements {
		told = append(told, each.Gap)
	}
	told = append(told, fmt.Sprint(*facts["has_cooking"]), fmt.Sprint(kitchen["value"]))
	line, err := json.Marshal(told)
	check(err)
	fmt.Println(string(line))
}

func check(err error) {
	if err != nil {
		panic(err)
	}
}
