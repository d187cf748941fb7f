import com.fasterxml.jackson.databind.ObjectMapper;
import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.openapitools.client.ApiClient;
import org.openapitools.client.api.AppraisalApi;
import org.openapitools.client.api.AppraisalApi.APICreateDocumentRequest;
import org.openapitools.client.api.AppraisalApi.APICreateEstimateRequest;
import org.openapitools.client.api.AppraisalApi.APICreateGapStatementRequest;
import org.openapitools.client.model.Build;
import org.openapitools.client.model.Component;
import org.openapitools.client.model.Estimate;
import org.openapitools.client.model.EstimateRequest;
import org.openapitools.client.model.GapRequest;
import org.openapitools.client.model.GapStatement;
import org.openapitools.client.model.Settlement;

/** A caller with the client of openapi-generator for Java: the stove of the README, the demo's gap statement, two facts. */
public class Caller {
    public static void main(String[] arguments) throws Exception {
        ApiClient client = new ApiClient();
        client.updateBaseUri(arguments[0]);
        AppraisalApi appraisal = new AppraisalApi(client);
        Component stove = new Component()
                .id("stove")
                .description("Two-burner stove")
                .category("stove")
                .quantity(BigDecimal.ONE)
                .unitCost(new BigDecimal("268.00"))
                .acquiredOn(LocalDate.of(2026, 2, 14));
        Build build = new Build().name("Camper").currency("USD").components(List.of(stove));
        EstimateRequest first = new EstimateRequest().asOf(LocalDate.of(2026, 11, 1)).build(build);
        Estimate estimate = appraisal.createEstimate(
                APICreateEstimateRequest.newBuilder().estimateRequest(first).build());
        ObjectMapper mapper = client.getObjectMapper();
        GapRequest request = mapper.readValue(Path.of(arguments[1]).toFile(), GapRequest.class);
        GapStatement statement = appraisal.createGapStatement(
                APICreateGapStatementRequest.newBuilder().gapRequest(request).build());
        build.facts(Map.of("has_cooking", false, "has_sink", Map.of("value", false, "planned", true)));
        Map<String, Object> facts = appraisal
                .createDocument(APICreateDocumentRequest.newBuilder().gapRequest(new GapRequest().build(build)).build())
                .getBuild()
                .getFacts();

        List<String> told = new ArrayList<>();
        told.add(estimate.getTotals().getActualCashValue().toPlainString());
        for (Settlement each : statement.getSettlements()) {
            told.add(each.getGap().toPlainString());
        }
        told.add(facts.get("has_cooking").toString());
        told.add(((Map<?, ?>) facts.get("has_sink")).get("value").toString());
        System.out.println(new ObjectMapper().writeValueAsString(told));
    }
}
